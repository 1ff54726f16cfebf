// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "annotate/case/score_sheet.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Going through the items of a score sheet by keys. Pure.

// What a digit gives an item: 1 its least value, 2 the next ...; 0: not applicable. As MakeScore takes it;
// empty: nothing has that key.
std::string ValueOfDigit(const ScoreItem& item, char digit);
// The digit of a value, or 0 where it has none (a scale of ten or more).
int DigitOfLevel(const ScoreItem& item, std::size_t level);

// "3", "na", or a dash where nothing was given yet.
std::string ScoreText(const Score* score);
// "4 of 12 scored; 14 of 16 (88 %)".
std::string SumWords(const ScoreSum& sum);

// The score with that moment as evidence, or without it where it was one already.
Score WithMoment(Score score, const MomentId& moment);
// The last moment on that frame, or null.
const Moment* MomentOnFrame(const Review& review, FrameRef at);
// Where the item's step begins that is nearest before the frame, else the first; empty: the step was not
// tagged, or the frame is within one of its visits, or the item is of no step.
std::optional<FrameRef> StepOfItem(const Review& review, const ScoreItem& item, FrameRef at);

}  // namespace afterscope

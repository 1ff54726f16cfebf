// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// Going through the open drafts of a review one after another. Pure.
struct DraftWalk {
  std::optional<DraftId> at;  // the one before the eyes; empty: none is open
  std::vector<DraftId> open;  // those that were open when it was followed last, in order
};

// Follows the review: a draft that is no longer open gives way to the next one; one that is open again (by
// undo) comes back. True where another draft is before the eyes than before.
bool FollowDrafts(DraftWalk& walk, const Review& review);
// To the next (1) or previous (-1) open draft; the last is followed by the first.
void MoveAlong(DraftWalk& walk, int direction);

const Draft* DraftOf(const Review& review, const std::optional<DraftId>& id);  // null: none
int CountDrafts(const Review& review, DraftState state);

// The draft's name in words: "Step: Rhexis", "Complication: capsule tear".
std::string DraftTitle(const Draft& draft, const StepList& steps);
// "3:12.4", or of a step "3:12.4 – 4:05.0".
std::string DraftTimes(const Draft& draft, const CaseClock& clock);
// How sure the words alone make it: "quite sure, 85 %".
std::string SureWords(double confidence);
// Where a draft comes to lie when it is moved to begin at `to`: it keeps its length, within the case.
std::pair<FrameRef, std::optional<FrameRef>> MovedTo(const Draft& draft, FrameRef to, const CaseClock& clock);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// The side sheet at the right: one at a time, chosen by a word.
enum class SheetKind { kCases, kSteps, kMarks, kFindings, kReview, kScores, kClips, kSeries, kDrafts };

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

enum class DifferenceKind {
  kStep,          // `key`: a step that one of them lacks, or whose visit starts or ends elsewhere
  kCheck,         // `key`: a check with another state
  kComplication,  // `key`: a complication that one of them lacks
  kMoment,  // `key`: the kind of another moment (WordOf) that one of them lacks; its words where it has some
  kMark,    // `key`: what is drawn (WordOf, with the stage of a rhexis) and one of them has nowhere
  kScore,   // `key`: "SHEET: ITEM" that was scored otherwise, or by one of them alone
  kWords    // `key`: "strengths", "change" or "drill" of the assessment
};

// Where two reviews of one case differ. What one of them lacks is empty there.
struct ReviewDifference {
  DifferenceKind kind = DifferenceKind::kStep;
  std::string key;
  std::optional<FrameRef> first_at;  // where to look: a visit's start, a moment, a mark
  std::optional<FrameRef> second_at;
  double first_seconds = 0;  // length of the visit
  double second_seconds = 0;
  std::string first_says;  // a check's state, a score, or words
  std::string second_says;
};

// Remarks, teaching points and settings of two reviews that are this close are about the same.
inline constexpr double kSameMomentSeconds = 5;

// The differences between the operator's own view and another's, once both may be shown (MayBeShown): steps
// in order of time, then checks, complications, other moments, marks, scores and words. Visits of a step in
// the first lane are compared one by one in order; boundaries up to `tolerance_s` apart are the same. Of
// marks it counts only whether there is one of the kind.
std::vector<ReviewDifference> DifferencesBetween(const Review& first, const Review& second,
                                                 const CaseClock& clock, double tolerance_s = 1.0);

}  // namespace afterscope

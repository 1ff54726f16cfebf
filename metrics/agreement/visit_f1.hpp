// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/agreement/timeline.hpp"
#include "metrics/base/result.hpp"

#include <span>

namespace afterscope {

// The overlaps at which F1 is usually given.
inline constexpr double kUsualOverlaps[] = {0.10, 0.25, 0.50, 0.75};

struct VisitF1 {
  double overlap = 0.5;
  int matched = 0;
  int only_compared = 0;   // visits of the compared timeline that match none
  int only_reference = 0;  // visits of the reference that nothing matched
  double precision = 0;    // matched share of the compared, 0 to 1
  double recall = 0;       // matched share of the reference
  double f1 = 0;           // 2 precision recall / (precision + recall); 0 where undefined
};

// How many visits two timelines have in common: each visit of `compared` takes the visit of `reference` with
// the same label that it overlaps most (the first of several), and matches if their overlap (shared over
// either time) reaches `overlap` in (0, 1] and that one is not yet taken (Lea et al. 2017, CVPR, "Temporal
// convolutional networks for action segmentation and detection"). Touching visits of one step count as one;
// gaps are no visits. Not quite symmetric: of two reviewers take the more experienced as reference.
Result<VisitF1> VisitF1At(std::span<const LabelledSpan> reference, std::span<const LabelledSpan> compared,
                          double overlap);

}  // namespace afterscope

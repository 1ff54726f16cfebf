// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/finding.hpp"
#include "annotate/case/followed.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"
#include "metrics/base/time.hpp"

#include <vector>

namespace afterscope {

struct MeasureOptions {
  int simulations = 2000;  // for limits that have no closed form
  unsigned seed = 1;       // of those simulations; the same input gives the same findings
  // Marking error where nothing tells it: of one marked point against the edge, the part that differs from
  // point to point; and the part shared by a whole outline (an edge read too far in or out); standard
  // deviations. What was marked again on the same frame, in this review or in `others`, replaces it.
  double marking_sd_px = 1.5;
  double marking_bias_px = 1.0;
  std::vector<const Review*> others;  // further reviews of the same case; they live as long as the call
  StopQuery stop;                     // asked between marks and trails
};

// All findings of a review. Needs no pictures: only marks, times, the case's fields, and what was followed
// earlier (LoadFollowed), of which only what still holds is used. Where it was stopped the rest is missing:
// what comes back is not to be used.
std::vector<Finding> MeasureReview(const CaseRecord& record, const Review& review, const StepList& steps,
                                   const MeasureOptions& options, const Followed& followed = {});

}  // namespace afterscope

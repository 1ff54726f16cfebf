// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/finding.hpp"
#include "annotate/case/review_differences.hpp"
#include "annotate/case/step_list.hpp"
#include "app/desktop/look/finding_text.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Another review of the open case, looked at beside the open one.
struct BesideReview {
  Review review;
  std::vector<Finding> findings;  // with rough limits
};

// Reads it if it may be shown beside `open`; one sentence where it is hidden still, or can't be read. Blocks.
Result<BesideReview> LoadBeside(const std::string& case_folder, const ReviewId& open, const ReviewId& other,
                                const StepList& steps);

// A difference as it is listed and gone to.
struct DifferenceLine {
  std::string what;            // "Rhexis", "Teaching point"
  std::string how;             // "starts 2.3 s later in R2's, ends 1.0 s earlier", "only in R2's: ..."
  std::optional<FrameRef> at;  // empty: it has no place in the recording
};

// Two reviews as the lines name them.
struct ReviewNames {
  std::string first;
  std::string second;
};

// Differences of what was tagged, drawn and said, in their order. Pure.
std::vector<DifferenceLine> DifferenceLines(const std::vector<ReviewDifference>& differences,
                                            const CaseClock& clock, const StepList& steps,
                                            const ReviewNames& names);
// Findings that both have and whose limits do not meet: they do not measure the same. Pure.
std::vector<DifferenceLine> FindingDifferences(const std::vector<Finding>& first,
                                               const std::vector<Finding>& second,
                                               const FindingLabels& labels, const ReviewNames& names);

}  // namespace afterscope

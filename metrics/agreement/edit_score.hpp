// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/agreement/timeline.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>

namespace afterscope {

struct EditScore {
  std::size_t distance = 0;  // visits to insert, remove or rename to turn one order of steps into the other
  std::size_t longest = 0;   // visits of the longer one
  double score = 1;          // 1 - distance / longest
};

// Whether two reviewers saw the same steps in the same order, whatever their times (Levenshtein distance of
// the sequences of labels; Lea et al. 2016, "Segmental spatiotemporal CNNs"). Touching visits of one step
// count as one. Refused if both are empty.
Result<EditScore> EditScoreOf(std::span<const LabelledSpan> a, std::span<const LabelledSpan> b);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/agreement/timeline.hpp"
#include "metrics/base/result.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace afterscope {

// How far two reviewers gave the same time to one step, all its visits together.
struct StepOverlap {
  int label = 0;
  std::int64_t a = 0;  // ticks
  std::int64_t b = 0;
  std::int64_t both = 0;
  double iou = 0;   // both over either; 0 if only one reviewer has the step
  double dice = 0;  // 2 both over a + b
};

// One entry for each label that either used, by label. Both empty: none.
Result<std::vector<StepOverlap>> StepOverlaps(std::span<const LabelledSpan> a,
                                              std::span<const LabelledSpan> b);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/step_overlap.hpp"

#include <map>

namespace afterscope {

Result<std::vector<StepOverlap>> StepOverlaps(std::span<const LabelledSpan> a,
                                              std::span<const LabelledSpan> b) {
  AFTERSCOPE_TRY(CheckTimeline(a));
  AFTERSCOPE_TRY(CheckTimeline(b));
  std::map<int, StepOverlap> steps;
  for (const LabelledSpan& s : a) steps[s.label].a += s.span.end - s.span.start;
  for (const LabelledSpan& s : b) steps[s.label].b += s.span.end - s.span.start;
  for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
    if (a[i].label == b[j].label) steps[a[i].label].both += SharedTicks(a[i].span, b[j].span);
    if (a[i].span.end < b[j].span.end)
      ++i;
    else
      ++j;
  }
  std::vector<StepOverlap> out;
  for (auto& [label, step] : steps) {
    step.label = label;
    step.iou = static_cast<double>(step.both) / static_cast<double>(step.a + step.b - step.both);
    step.dice = 2 * static_cast<double>(step.both) / static_cast<double>(step.a + step.b);
    out.push_back(step);
  }
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/timeline.hpp"

#include "metrics/series/checks.hpp"

#include <algorithm>

namespace afterscope {
namespace {

// Far beyond any recording, and far from where adding up lengths could overflow.
constexpr std::int64_t kMostTicks = std::int64_t{1} << 60;

}  // namespace

Status CheckTimeline(std::span<const LabelledSpan> timeline) {
  constexpr auto kName = "The agreement of timelines";
  for (std::size_t i = 0; i < timeline.size(); ++i) {
    const LabelledSpan& here = timeline[i];
    if (here.label < 0) return NotComputable(kName, "a step has no number");
    if (here.span.empty()) return NotComputable(kName, "a step ends before it starts");
    if (here.span.start < -kMostTicks || here.span.end > kMostTicks)
      return NotComputable(kName, "a step lies outside any possible recording");
    if (i > 0 && here.span.start < timeline[i - 1].span.end)
      return NotComputable(kName, "two steps of one reviewer overlap or are not in order of time");
  }
  return {};
}

std::vector<LabelledSpan> JoinedRuns(std::span<const LabelledSpan> timeline) {
  std::vector<LabelledSpan> runs;
  for (const LabelledSpan& here : timeline) {
    if (!runs.empty() && runs.back().label == here.label && runs.back().span.end == here.span.start)
      runs.back().span.end = here.span.end;
    else
      runs.push_back(here);
  }
  return runs;
}

std::int64_t SharedTicks(const HalfOpen<std::int64_t>& a, const HalfOpen<std::int64_t>& b) {
  return std::max<std::int64_t>(0, std::min(a.end, b.end) - std::max(a.start, b.start));
}

double SpanOverlap(const HalfOpen<std::int64_t>& a, const HalfOpen<std::int64_t>& b) {
  const std::int64_t shared = SharedTicks(a, b);
  const std::int64_t either = (a.end - a.start) + (b.end - b.start) - shared;
  return static_cast<double>(shared) / static_cast<double>(either);
}

}  // namespace afterscope

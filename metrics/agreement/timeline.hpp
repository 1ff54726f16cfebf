// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace afterscope {

// One visit of a step in a reviewer's timeline: `label` stands for the step (0 and above), the span is
// half-open, in ticks that both reviewers' timelines share (frames, or ticks of the case clock).
struct LabelledSpan {
  int label = 0;
  HalfOpen<std::int64_t> span;
  friend bool operator==(const LabelledSpan&, const LabelledSpan&) = default;
};

// In order of time, none empty, none overlapping the next, labels 0 and above. Gaps are stretches without a
// step.
Status CheckTimeline(std::span<const LabelledSpan> timeline);

// Neighbours of the same label that touch, joined.
std::vector<LabelledSpan> JoinedRuns(std::span<const LabelledSpan> timeline);

// The time that two spans share; 0 if they are apart.
std::int64_t SharedTicks(const HalfOpen<std::int64_t>& a, const HalfOpen<std::int64_t>& b);

// Shared time over the time that either covers, 0 to 1. Neither is empty.
double SpanOverlap(const HalfOpen<std::int64_t>& a, const HalfOpen<std::int64_t>& b);

}  // namespace afterscope

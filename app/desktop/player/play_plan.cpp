// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/play_plan.hpp"

#include "annotate/case/visits.hpp"

#include <algorithm>

namespace afterscope {

PlayPlan PlanOf(std::vector<HalfOpen<FrameRef>> stretches, bool loop) {
  std::erase_if(stretches, [](const HalfOpen<FrameRef>& s) { return s.empty(); });
  std::sort(stretches.begin(), stretches.end(),
            [](const HalfOpen<FrameRef>& a, const HalfOpen<FrameRef>& b) { return a.start < b.start; });
  PlayPlan plan{{}, loop};
  for (const HalfOpen<FrameRef>& stretch : stretches) {
    if (plan.stretches.empty() || plan.stretches.back().end < stretch.start)
      plan.stretches.push_back(stretch);
    else if (plan.stretches.back().end < stretch.end)
      plan.stretches.back().end = stretch.end;
  }
  return plan;
}

PlayPlan PlanOfSteps(const Review& review, const std::set<std::string>& steps, FrameRef end_of_case) {
  std::vector<HalfOpen<FrameRef>> stretches;
  for (const StepVisit& visit : review.visits)
    if (visit.lane == 0 && (steps.empty() || steps.contains(visit.step)))
      stretches.push_back({visit.start, EndOf(review, visit, end_of_case)});
  return PlanOf(std::move(stretches), false);
}

PlayPoint Follow(const PlayPlan& plan, const CaseClock& clock, double seconds) {
  if (plan.stretches.empty()) {
    const bool over = seconds >= clock.TotalSeconds();
    if (over && plan.loop) return {0, true, false};
    return {seconds, false, over};
  }
  for (const HalfOpen<FrameRef>& stretch : plan.stretches) {
    if (seconds >= clock.Seconds(stretch.end)) continue;
    const double start = clock.Seconds(stretch.start);
    return seconds >= start ? PlayPoint{seconds, false, false} : PlayPoint{start, true, false};
  }
  if (plan.loop) return {clock.Seconds(plan.stretches.front().start), true, false};
  return {clock.Seconds(plan.stretches.back().end), false, true};
}

}  // namespace afterscope

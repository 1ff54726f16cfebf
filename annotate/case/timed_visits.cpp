// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/timed_visits.hpp"

#include "annotate/case/operator_name.hpp"

#include <algorithm>

namespace afterscope {

std::vector<const StepVisit*> FirstLane(const Review& review) {
  std::vector<const StepVisit*> lane;
  for (const StepVisit& visit : review.visits)
    if (visit.lane == 0) lane.push_back(&visit);
  std::sort(lane.begin(), lane.end(),
            [](const StepVisit* a, const StepVisit* b) { return a->start < b->start; });
  return lane;
}

std::vector<TimedVisit> TimedVisits(const CaseRecord& record, const Review& review, const CaseClock& clock) {
  const std::vector<const StepVisit*> lane = FirstLane(review);
  std::vector<TimedVisit> out;
  for (std::size_t i = 0; i < lane.size(); ++i) {
    const StepVisit& visit = *lane[i];
    const FrameRef open_end = i + 1 < lane.size() ? lane[i + 1]->start : clock.end();
    out.push_back({visit.step,
                   OperatorName(record, visit),
                   {clock.Seconds(visit.start), clock.Seconds(visit.end.value_or(open_end))},
                   0,
                   visit.taken_over});
  }
  return out;
}

}  // namespace afterscope

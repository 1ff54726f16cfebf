// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/step_totals.hpp"

#include "annotate/case/timed_visits.hpp"

namespace afterscope {

std::map<std::string, StepTotal> StepTotals(const CaseRecord& record, const Review& review,
                                            const CaseClock& clock) {
  std::map<std::string, StepTotal> totals;
  const std::vector<TimedVisit> parts = TimedVisits(record, review, clock);
  for (const TimedVisit& part : parts) totals[part.step].seconds += part.seconds.end - part.seconds.start;
  for (const JoinedVisit& visit : JoinedVisits(parts)) ++totals[visit.step].visits;
  if (const auto lane = FirstLane(review); !lane.empty() && !lane.back()->end)
    totals[lane.back()->step].runs = true;
  return totals;
}

}  // namespace afterscope

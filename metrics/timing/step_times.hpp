// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/timing/timed_visit.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct StepTimes {
  Estimate total, longest, first_start;  // longest: part of a visit in one pair of hands
  int visits = 0;                        // JoinedVisits
};
// Of the visits of a step, of one operator or (empty) of all; empty where there are none. Of the visits in
// which others had the instruments too, the operator's part is timed and the visit counted.
std::optional<StepTimes> MeasureStep(const std::vector<TimedVisit>& visits, const std::string& step,
                                     const std::optional<std::string>& operator_code);

struct OperatorTimes {
  Estimate total;
  Estimate share;  // of all step time, 0 to 1
};
std::optional<OperatorTimes> MeasureOperator(const std::vector<TimedVisit>& visits,
                                             const std::string& operator_code);

struct WholeTimes {
  Estimate whole;       // first start to last end
  Estimate gaps_total;  // of it, what no step covers
  std::optional<Estimate> gap_longest;
  int gaps = 0;
  int take_overs = 0;  // runs of visits, in order of time, in which the supervisor has the instruments
};
std::optional<WholeTimes> MeasureWhole(std::vector<TimedVisit> visits);

}  // namespace afterscope

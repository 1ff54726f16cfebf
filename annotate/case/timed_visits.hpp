// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/timing/timed_visit.hpp"

#include <vector>

namespace afterscope {

// What statistics use of a review's visits: those of the first lane, in order of start.
std::vector<const StepVisit*> FirstLane(const Review& review);

// The same on the case clock, one for one, with their operators as findings name them; `frame` stays 0.
std::vector<TimedVisit> TimedVisits(const CaseRecord& record, const Review& review, const CaseClock& clock);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"

#include <string>

namespace afterscope {

// The visits of a review's first lane in order, one line each, as a table that the program takes in again as
// seconds: `step` (its key), `name`, `start` and `end` on the case clock in seconds, rounded up to a
// millionth, so that they still lie on the same frames; `taken_over`, yes or empty; `recording` and `ticks`
// of the start. A visit that is still open ends where EndOf says.
std::string CsvFromVisits(const Review& review, const StepList& steps, const CaseClock& clock);

}  // namespace afterscope

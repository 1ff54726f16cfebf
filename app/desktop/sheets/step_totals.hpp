// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"

#include <map>
#include <string>

namespace afterscope {

// Of one step, whoever has the instruments. Pure.
struct StepTotal {
  double seconds = 0;
  int visits = 0;
  bool runs = false;  // one of them was not ended: it lasts to the end of the case
};

// By step, of the first lane.
std::map<std::string, StepTotal> StepTotals(const CaseRecord& record, const Review& review,
                                            const CaseClock& clock);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"

#include <optional>

namespace afterscope {

// The visit of a lane that contains `at` (an open one lasts until the next start of its lane), or null.
const StepVisit* RunningVisit(const Review& review, FrameRef at, int lane = 0);

// The next visit of the same lane, or null.
const StepVisit* NextVisit(const Review& review, const StepVisit& visit);

// Where a visit ends: its own end, else the next start of its lane, else the end of the case.
FrameRef EndOf(const Review& review, const StepVisit& visit, FrameRef end_of_case);

// Who operates in a visit: its own operator, else the case's supervisor where it is taken over, else the
// case's operator; empty where that is not known.
const std::string& OperatorOf(const CaseRecord& record, const StepVisit& visit);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"

#include <string>

namespace afterscope {

// How findings name who operates in a visit: its own operator; else, when taken over, the case's supervisor
// or the word "supervisor"; else the case's operator or the word "operator".
std::string OperatorName(const CaseRecord& record, const StepVisit& visit);
// The case's operator, or the word "operator".
std::string OperatorName(const CaseRecord& record);

}  // namespace afterscope

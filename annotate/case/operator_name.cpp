// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/operator_name.hpp"

namespace afterscope {

std::string OperatorName(const CaseRecord& record, const StepVisit& visit) {
  if (!visit.operator_code.empty()) return visit.operator_code;
  if (!visit.taken_over) return OperatorName(record);
  return record.supervisor_code.empty() ? "supervisor" : record.supervisor_code;
}

std::string OperatorName(const CaseRecord& record) {
  return record.operator_code.empty() ? "operator" : record.operator_code;
}

}  // namespace afterscope

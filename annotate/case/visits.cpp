// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"

namespace afterscope {

const StepVisit* RunningVisit(const Review& review, FrameRef at, int lane) {
  const StepVisit* last = nullptr;
  for (const StepVisit& visit : review.visits)
    if (visit.lane == lane && visit.start <= at) last = &visit;
  return last && (!last->end || at < *last->end) ? last : nullptr;
}

const StepVisit* NextVisit(const Review& review, const StepVisit& visit) {
  for (const StepVisit& other : review.visits)
    if (other.lane == visit.lane && visit.start < other.start) return &other;
  return nullptr;
}

FrameRef EndOf(const Review& review, const StepVisit& visit, FrameRef end_of_case) {
  if (visit.end) return *visit.end;
  const StepVisit* next = NextVisit(review, visit);
  return next ? next->start : end_of_case;
}

const std::string& OperatorOf(const CaseRecord& record, const StepVisit& visit) {
  if (!visit.operator_code.empty()) return visit.operator_code;
  return visit.taken_over ? record.supervisor_code : record.operator_code;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/visit_edits.hpp"

#include "annotate/case/tagging.hpp"
#include "annotate/case/visits.hpp"

#include <algorithm>

namespace afterscope {
namespace {

Error NoneHere(const std::string& what) {
  return {ErrorCode::kBadCall, what + " here: no step is at this frame; go to the step first."};
}

const StepVisit* Find(const Review& review, const VisitId& id) {
  const auto found = std::find_if(review.visits.begin(), review.visits.end(),
                                  [&](const StepVisit& visit) { return visit.id == id; });
  return found == review.visits.end() ? nullptr : &*found;
}

}  // namespace

const StepVisit* VisitMeant(const Review& review, FrameRef at, const std::optional<VisitId>& about) {
  if (about) return Find(review, *about);
  const StepVisit* running = RunningVisit(review, at);
  return running != nullptr ? running : RunningVisit(review, at, 1);
}

Result<EditGroup> StartsHere(const Review& review, FrameRef at, const std::optional<VisitId>& about) {
  const StepVisit* visit = VisitMeant(review, at, about);
  for (const StepVisit& other : review.visits)
    if (visit == nullptr && other.lane == 0 && at < other.start) visit = &other;
  if (visit == nullptr) return NoneHere("No step can start");
  return MoveBoundary(review, visit->id, VisitEdge::kStart, at);
}

Result<EditGroup> EndsHere(const Review& review, FrameRef at, const std::optional<VisitId>& about) {
  const StepVisit* visit = VisitMeant(review, at, about);
  const StepVisit* last = nullptr;
  for (const StepVisit& other : review.visits)
    if (other.lane == 0 && other.start < at) last = &other;
  if (visit == nullptr) visit = last;
  if (visit == nullptr) return NoneHere("No step can end");
  return MoveBoundary(review, visit->id, VisitEdge::kEnd, at);
}

Result<EditGroup> RemoveVisit(const Review& review, FrameRef at, const std::optional<VisitId>& about) {
  const StepVisit* visit = VisitMeant(review, at, about);
  if (visit == nullptr) return NoneHere("No step can be removed");
  return EditGroup{"Remove step", {Remove<VisitId>{visit->id}}};
}

Result<EditGroup> SetOperator(const Review& review, const VisitId& id, const std::string& code) {
  const StepVisit* visit = Find(review, id);
  if (visit == nullptr) return NoneHere("No operator can be noted");
  StepVisit changed = *visit;
  changed.operator_code = code;
  return EditGroup{"Operator of a step", {Put<StepVisit>{changed}}};
}

}  // namespace afterscope

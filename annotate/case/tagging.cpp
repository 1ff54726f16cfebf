// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/tagging.hpp"

#include "annotate/case/visits.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr int kLanes = 2;

const StepVisit* FindVisit(const Review& review, const VisitId& id) {
  const auto found = std::find_if(review.visits.begin(), review.visits.end(),
                                  [&](const StepVisit& visit) { return visit.id == id; });
  return found == review.visits.end() ? nullptr : &*found;
}

Error NoVisit(const VisitId& id) { return BadCall(fmt::format("There is no step visit '{}'.", id.value)); }

// The last visit of the lane that starts before `at`, running or not.
const StepVisit* LastBefore(const Review& review, FrameRef at, int lane) {
  const StepVisit* last = nullptr;
  for (const StepVisit& visit : review.visits)
    if (visit.lane == lane && visit.start < at) last = &visit;
  return last;
}

StepVisit Ended(StepVisit visit, FrameRef at) {
  visit.end = at;
  return visit;
}

void GiveTo(StepVisit& visit, const std::string& operator_code, bool taken_over) {
  visit.operator_code = operator_code;
  visit.taken_over = taken_over;
}

// Hands over the visits of a lane from `at` on: splits the one that runs then, and goes on through the later
// ones until one whose state is already the wanted one.
void HandOver(const Review& review, int lane, FrameRef at, const std::string& to, bool taken_over,
              const VisitIdSource& new_id, std::vector<Edit>& edits) {
  for (const StepVisit& visit : review.visits) {
    if (visit.lane != lane || (visit.end && *visit.end <= at)) continue;
    const StepVisit* next = NextVisit(review, visit);
    if (next && next->start <= at) continue;  // an open visit that has ended
    if (visit.taken_over == taken_over) return;
    StepVisit rest = visit;
    GiveTo(rest, to, taken_over);
    if (visit.start < at) {
      edits.emplace_back(Put<StepVisit>{Ended(visit, at)});
      rest.id = new_id();
      rest.start = at;
    }
    edits.emplace_back(Put<StepVisit>{rest});
  }
}

}  // namespace

Result<EditGroup> StartStep(const Review& review, const std::string& step, FrameRef at,
                            const VisitIdSource& new_id, int lane) {
  EditGroup group{"Start step", {}};
  StepVisit fresh;
  const StepVisit* running = RunningVisit(review, at, lane);
  if (running && running->start == at) {
    fresh = *running;
    fresh.step = step;
    group.edits.emplace_back(Put<StepVisit>{fresh});
    return group;
  }
  fresh.id = new_id();
  fresh.step = step;
  fresh.lane = lane;
  fresh.start = at;
  if (running) {
    fresh.end = running->end;
    group.edits.emplace_back(Put<StepVisit>{Ended(*running, at)});
  }
  if (const StepVisit* last = LastBefore(review, at, lane); last && last->taken_over)
    GiveTo(fresh, last->operator_code, true);
  group.edits.emplace_back(Put<StepVisit>{fresh});
  return group;
}

Result<EditGroup> EndStep(const Review& review, FrameRef at, int lane) {
  const StepVisit* running = RunningVisit(review, at, lane);
  if (!running || running->start == at)
    return BadCall("Can't end a step here: none is running; start one first.");
  return EditGroup{"End step", {Put<StepVisit>{Ended(*running, at)}}};
}

Result<EditGroup> TakeOver(const Review& review, const CaseRecord& record, FrameRef at,
                           const VisitIdSource& new_id) {
  EditGroup group{"Take-over", {}};
  const std::string supervisor = record.supervisor_code.empty() ? "supervisor" : record.supervisor_code;
  for (int lane = 0; lane < kLanes; ++lane) {
    const StepVisit* running = RunningVisit(review, at, lane);
    if (running && !running->taken_over) HandOver(review, lane, at, supervisor, true, new_id, group.edits);
  }
  if (group.edits.empty())
    return BadCall(
        "Can't note a take-over here: no step of the operator's is running; start the step first.");
  return group;
}

Result<EditGroup> ReturnInstruments(const Review& review, FrameRef at, const VisitIdSource& new_id) {
  EditGroup group{"Return of the instruments", {}};
  for (int lane = 0; lane < kLanes; ++lane) {
    const StepVisit* running = RunningVisit(review, at, lane);
    if (running && running->taken_over) HandOver(review, lane, at, "", false, new_id, group.edits);
  }
  if (group.edits.empty())
    return BadCall("Can't note a return of the instruments here: no step of the supervisor's is running.");
  return group;
}

Result<EditGroup> MoveBoundary(const Review& review, const VisitId& id, VisitEdge edge, FrameRef to) {
  const StepVisit* visit = FindVisit(review, id);
  if (!visit) return NoVisit(id);
  EditGroup group{"Move boundary", {}};
  StepVisit moved = *visit;
  const StepVisit* next = NextVisit(review, *visit);
  if (edge == VisitEdge::kStart) {
    moved.start = to;
    for (const StepVisit& other : review.visits)
      if (other.lane == visit->lane && other.end == visit->start)
        group.edits.emplace_back(Put<StepVisit>{Ended(other, to)});
  } else if (next && visit->end.value_or(next->start) == next->start) {
    StepVisit pushed = *next;
    pushed.start = to;
    group.edits.emplace_back(Put<StepVisit>{pushed});
    if (visit->end) moved.end = to;
  } else {
    moved.end = to;
  }
  group.edits.emplace_back(Put<StepVisit>{moved});
  return group;
}

Result<EditGroup> SplitVisit(const Review& review, const VisitId& id, FrameRef at, const VisitId& second) {
  const StepVisit* visit = FindVisit(review, id);
  if (!visit) return NoVisit(id);
  if (RunningVisit(review, at, visit->lane) != visit || visit->start == at)
    return BadCall(fmt::format("Can't split step '{}' there: the place is not inside it.", visit->step));
  StepVisit rest = *visit;
  rest.id = second;
  rest.start = at;
  return EditGroup{"Split step", {Put<StepVisit>{Ended(*visit, at)}, Put<StepVisit>{rest}}};
}

Result<EditGroup> JoinWithNext(const Review& review, const VisitId& id) {
  const StepVisit* visit = FindVisit(review, id);
  if (!visit) return NoVisit(id);
  const StepVisit* next = NextVisit(review, *visit);
  if (!next)
    return BadCall(fmt::format("Can't join step '{}' with the next: there is none after it.", visit->step));
  StepVisit joined = *visit;
  joined.end = next->end;
  return EditGroup{"Join steps", {Remove<VisitId>{next->id}, Put<StepVisit>{joined}}};
}

Result<EditGroup> RenameStep(const Review& review, const VisitId& id, const std::string& step) {
  const StepVisit* visit = FindVisit(review, id);
  if (!visit) return NoVisit(id);
  StepVisit renamed = *visit;
  renamed.step = step;
  return EditGroup{"Rename step", {Put<StepVisit>{renamed}}};
}

Result<EditGroup> RemoveMark(const Review& review, const MarkId& mark) {
  EditGroup group{"Remove mark", {}};
  for (const ScaleDef& scale : review.scales)
    if (scale.mark == mark) group.edits.emplace_back(Remove<ScaleId>{scale.id});
  group.edits.emplace_back(Remove<MarkId>{mark});
  return group;
}

}  // namespace afterscope

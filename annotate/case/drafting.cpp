// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/drafting.hpp"

#include "annotate/case/visits.hpp"
#include "annotate/case/words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

Result<Draft> OpenDraft(const Review& review, const DraftId& id) {
  const auto draft = std::find_if(review.drafts.begin(), review.drafts.end(),
                                  [&](const Draft& candidate) { return candidate.id == id; });
  if (draft == review.drafts.end())
    return Error{ErrorCode::kBadCall, fmt::format("There is no draft '{}'.", id.value)};
  if (draft->state != DraftState::kOpen)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Draft '{}' is already {}; undo that first.", id.value, WordOf(draft->state))};
  return *draft;
}

// The first free stretch of lane 0 within the draft's time; its end is empty where nothing limits it.
std::optional<std::pair<FrameRef, std::optional<FrameRef>>> FreeTime(const Review& review,
                                                                     const Draft& draft) {
  FrameRef start = draft.start;
  std::optional<FrameRef> end = draft.end;
  for (const StepVisit& visit : review.visits) {
    if (visit.lane != 0) continue;
    if (visit.start <= start) {
      if (visit.end) start = std::max(start, *visit.end);
      continue;
    }
    end = end ? std::min(*end, visit.start) : visit.start;
    break;
  }
  if (end && *end <= start) return std::nullopt;
  return std::pair(start, end);
}

// Whether another visit of lane 0 begins or ends within (from, to).
bool OtherBetween(const Review& review, const StepVisit& than, FrameRef from, FrameRef to, FrameRef end) {
  return std::any_of(review.visits.begin(), review.visits.end(), [&](const StepVisit& other) {
    return other.lane == 0 && other.id != than.id && other.start < to && from < EndOf(review, other, end);
  });
}

// The visit of the same step that a draft goes on about; null: none.
const StepVisit* SameVisit(const Review& review, const Draft& draft, const CaseClock& clock) {
  const StepVisit* nearest = nullptr;
  double least = kSameVisitSeconds;
  const FrameRef draft_end = draft.end.value_or(draft.start);
  for (const StepVisit& visit : review.visits) {
    if (visit.lane != 0 || visit.step != draft.key) continue;
    const FrameRef end = EndOf(review, visit, clock.end());
    const bool before = end <= draft.start, after = draft_end <= visit.start;
    const FrameRef from = before ? end : draft_end, to = before ? draft.start : visit.start;
    const double gap = before || after ? clock.Seconds(to) - clock.Seconds(from) : 0;
    if (gap > least || ((before || after) && OtherBetween(review, visit, from, to, clock.end()))) continue;
    nearest = &visit;
    least = gap;
  }
  return nearest;
}

// The visit as long as it and the draft together, as far as other visits leave room.
StepVisit Together(const Review& review, const StepVisit& visit, const Draft& draft, const CaseClock& clock) {
  StepVisit longer = visit;
  longer.start = std::min(visit.start, draft.start);
  if (visit.end && draft.end) longer.end = std::max(*visit.end, *draft.end);
  for (const StepVisit& other : review.visits) {
    if (other.lane != 0 || other.id == visit.id) continue;
    if (other.start < visit.start) longer.start = std::max(longer.start, EndOf(review, other, clock.end()));
    if (other.start > visit.start && longer.end) longer.end = std::min(*longer.end, other.start);
  }
  return longer;
}

Result<std::vector<Edit>> VisitFrom(const Review& review, const Draft& draft, const DraftIdSources& ids) {
  const auto time = FreeTime(review, draft);
  if (!time)
    return Error{
        ErrorCode::kBadCall,
        fmt::format("Can't accept draft '{}': other steps already take its time; move it or refuse it.",
                    draft.id.value)};
  StepVisit visit;
  visit.id = ids.visit();
  visit.step = draft.key;
  visit.start = time->first;
  visit.end = time->second;
  std::vector<Edit> edits;
  // A visit without an end, in which the draft begins, ends there.
  for (const StepVisit& before : review.visits)
    if (before.lane == 0 && !before.end && before.start < visit.start) {
      StepVisit ended = before;
      ended.end = visit.start;
      const bool last = std::none_of(review.visits.begin(), review.visits.end(), [&](const StepVisit& other) {
        return other.lane == 0 && other.start > before.start && other.start <= visit.start;
      });
      if (last) edits.emplace_back(Put<StepVisit>{ended});
    }
  edits.emplace_back(Put<StepVisit>{visit});
  return edits;
}

MomentKind KindOfMoment(DraftKind kind) {
  switch (kind) {
    case DraftKind::kSettings:
      return MomentKind::kSettings;
    case DraftKind::kComplication:
      return MomentKind::kComplication;
    case DraftKind::kTeachingPoint:
      return MomentKind::kTeachingPoint;
    case DraftKind::kCheck:
      return MomentKind::kCheck;
    case DraftKind::kStep:
    case DraftKind::kInstrument:
    case DraftKind::kFollowUp:
      break;
  }
  return MomentKind::kRemark;
}

std::vector<Edit> MomentFrom(const Draft& draft, const DraftIdSources& ids) {
  Moment moment;
  moment.id = ids.moment();
  moment.at = draft.start;
  moment.kind = KindOfMoment(draft.kind);
  moment.key = draft.key;
  moment.text = draft.words;
  moment.fields = draft.fields;
  std::vector<Edit> edits{Put<Moment>{std::move(moment)}};
  if (draft.kind == DraftKind::kCheck) edits.emplace_back(SetCheck{draft.key, CheckState::kSeenDone});
  return edits;
}

}  // namespace

Result<EditGroup> AcceptDraft(const Review& review, const DraftId& id, const CaseClock& clock,
                              const DraftIdSources& ids) {
  AFTERSCOPE_ASSIGN(Draft draft, OpenDraft(review, id));
  EditGroup group{fmt::format("Accept from the narration: {}", WordOf(draft.kind)), {}};
  const StepVisit* const same = draft.kind == DraftKind::kStep ? SameVisit(review, draft, clock) : nullptr;
  if (same != nullptr) {
    if (const StepVisit longer = Together(review, *same, draft, clock); longer != *same)
      group.edits.emplace_back(Put<StepVisit>{longer});
  } else if (draft.kind == DraftKind::kStep) {
    AFTERSCOPE_ASSIGN(group.edits, VisitFrom(review, draft, ids));
  } else {
    group.edits = MomentFrom(draft, ids);
  }
  draft.state = DraftState::kAccepted;
  group.edits.emplace_back(Put<Draft>{std::move(draft)});
  return group;
}

Result<EditGroup> RefuseDraft(const Review& review, const DraftId& id) {
  AFTERSCOPE_ASSIGN(Draft draft, OpenDraft(review, id));
  draft.state = DraftState::kRefused;
  return EditGroup{fmt::format("Refuse from the narration: {}", WordOf(draft.kind)), {Put<Draft>{draft}}};
}

Result<EditGroup> MoveDraft(const Review& review, const DraftId& id, FrameRef start,
                            std::optional<FrameRef> end) {
  AFTERSCOPE_ASSIGN(Draft draft, OpenDraft(review, id));
  draft.start = start;
  draft.end = end;
  return EditGroup{"Move a draft", {Put<Draft>{draft}}};
}

const Draft* NextOpenDraft(const Review& review, FrameRef from) {
  const Draft* first = nullptr;
  for (const Draft& draft : review.drafts) {
    if (draft.state != DraftState::kOpen) continue;
    if (draft.start >= from) return &draft;
    if (!first) first = &draft;
  }
  return first;
}

}  // namespace afterscope

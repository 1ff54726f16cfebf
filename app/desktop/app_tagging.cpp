// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/blinding.hpp"
#include "annotate/case/tagging.hpp"
#include "annotate/case/visits.hpp"
#include "app/desktop/app.hpp"
#include "app/desktop/desk/visit_edits.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/timeline/boundaries.hpp"

#include <utility>

namespace afterscope {
namespace {

VisitIdSource NewVisits(CaseSession& session) {
  return [&session] { return session.NewVisitId(); };
}

const StepKind* StepOfKey(const StepList& steps, const KeyChord& chord) {
  for (const StepKind& step : steps.steps) {
    const auto key = ParseChord(step.shortcut);
    if (key && key->key == chord.key) return &step;
  }
  return nullptr;
}

}  // namespace

// A step's key starts it, after the key for the other hand in that lane. While a step is being renamed, it
// gives the name.
bool App::PressStepKey(const KeyChord& chord) {
  if (chord.ctrl || chord.shift || chord.alt) return false;
  const StepKind* step = StepOfKey(steps_, chord);
  if (step == nullptr) return false;
  StartStepNow(step->key, std::exchange(other_hand_, false) ? 1 : 0);
  return true;
}

void App::StartStepNow(const std::string& step, int lane) {
  if (renaming_) return RenameTo(step);
  if (!desk_ || !MakeScene().Editable())
    return Say("Steps can be started once a recording is open for writing.", true);
  const FrameRef at = SeenFrame();
  desk_->Push([step, at, lane](CaseSession& session) {
    return StartStep(session.review(), step, at, NewVisits(session), lane);
  });
  Say((lane == 0 ? "" : "Other hand: ") + steps_.NameOf(step) + " from " + ClockText(clock_.Seconds(at), 2),
      false);
}

void App::RenameTo(const std::string& step) {
  const auto visit = std::exchange(renaming_, std::nullopt);
  if (!visit || step.empty()) return;
  desk_->Push(
      [visit = *visit, step](CaseSession& session) { return RenameStep(session.review(), visit, step); });
}

void App::NudgeBoundary(std::int64_t frames) {
  const auto nearest = NearestBoundary(view_->review, clock_, player_.playhead());
  if (!nearest) return Say("There is no boundary to move; start a step first.", false);
  const FrameRef to = NudgedBoundary(tables_, nearest->at, frames);
  desk_->Push([visit = nearest->visit, edge = nearest->edge, to](CaseSession& session) {
    return MoveBoundary(session.review(), visit, edge, to);
  });
  player_.JumpTo(to, now_);
}

void App::BoundaryHere() {
  const FrameRef to = player_.playhead();
  const auto nearest = NearestBoundary(view_->review, clock_, to);
  if (!nearest) return Say("There is no boundary to move; start a step first.", false);
  desk_->Push([visit = nearest->visit, edge = nearest->edge, to](CaseSession& session) {
    return MoveBoundary(session.review(), visit, edge, to);
  });
}

void App::TakeOverOrReturn(FrameRef at) {
  desk_->Push([at](CaseSession& session) {
    const StepVisit* running = VisitMeant(session.review(), at, std::nullopt);
    if (running != nullptr && running->taken_over)
      return ReturnInstruments(session.review(), at, NewVisits(session));
    return TakeOver(session.review(), session.record(), at, NewVisits(session));
  });
}

bool App::DoTagging(const std::string& action) {
  if (!desk_) return false;
  const FrameRef at = SeenFrame();
  if (action == "end step") {
    desk_->Push([at](CaseSession& session) { return EndStep(session.review(), at); });
  } else if (action == "other hand") {
    other_hand_ = !other_hand_;
  } else if (action == "end other hand") {
    desk_->Push([at](CaseSession& session) { return EndStep(session.review(), at, 1); });
  } else if (action == "take over") {
    TakeOverOrReturn(at);
  } else if (action == "boundary earlier") {
    NudgeBoundary(-1);
  } else if (action == "boundary later") {
    NudgeBoundary(1);
  } else if (action == "boundary here") {
    BoundaryHere();
  } else if (action == "undo") {
    if (!view_->undo_label.empty()) Say("Undone: " + view_->undo_label, false);
    desk_->Undo();
  } else if (action == "redo") {
    if (!view_->redo_label.empty()) Say("Done again: " + view_->redo_label, false);
    desk_->Redo();
  } else {
    return false;
  }
  return true;
}

// What is done to the visit that is meant: the one of the menu, else the one at the playhead.
bool App::DoVisit(const std::string& action) {
  if (!desk_) return false;
  const FrameRef at = SeenFrame();
  const auto about = about_;
  if (action == "step starts here") {
    desk_->Push([at, about](CaseSession& session) { return StartsHere(session.review(), at, about); });
  } else if (action == "step ends here") {
    desk_->Push([at, about](CaseSession& session) { return EndsHere(session.review(), at, about); });
  } else if (action == "remove step") {
    desk_->Push([at, about](CaseSession& session) { return RemoveVisit(session.review(), at, about); });
  } else if (action == "split step" || action == "join steps" || action == "rename step" ||
             action == "operator") {
    const StepVisit* visit = VisitMeant(view_->review, at, about);
    if (visit == nullptr)
      Say("There is no step at this frame; go to the step first.", true);
    else
      DoToVisit(action, *visit, at);
  } else {
    return false;
  }
  return true;
}

void App::DoToVisit(const std::string& action, const StepVisit& visit, FrameRef at) {
  if (!MakeScene().Editable()) return Say("This case can't be changed: it is open read-only.", true);
  const VisitId id = visit.id;
  if (action == "split step") {
    desk_->Push([id, at](CaseSession& session) {
      return SplitVisit(session.review(), id, at, session.NewVisitId());
    });
  } else if (action == "join steps") {
    desk_->Push([id](CaseSession& session) { return JoinWithNext(session.review(), id); });
  } else if (action == "rename step") {
    renaming_ = id;
    Say("Rename " + steps_.NameOf(visit.step) +
            ": press the key of the right step, or Enter for other words.",
        false);
  } else {
    Ask(ask_, "Who operated in " + steps_.NameOf(visit.step), "a code, never a name; empty: as the case says",
        visit.operator_code, [this, id](const std::string& code) {
          desk_->Push([id, code](CaseSession& session) {
            return SetOperator(session.review(), id, ActualCode(session.record(), session.review(), code));
          });
        });
    for (const std::string& code : {view_->record.operator_code, view_->record.supervisor_code})
      if (!code.empty()) ask_.offers.push_back(code);
  }
}

// A step that the list does not have: it is called as it is typed.
void App::AskOwnStep() {
  if (!desk_ || !MakeScene().Editable())
    return Say("Steps can be started once a recording is open for writing.", true);
  const auto renamed = std::exchange(renaming_, std::nullopt);
  if (!renamed && player_.playing()) player_.Pause(now_);
  const FrameRef at = SeenFrame();
  Ask(ask_, renamed ? "Rename the step" : "A step in your own words from " + ClockText(clock_.Seconds(at), 2),
      "what the step is called", "", [this, renamed, at](const std::string& words) {
        const std::string step = NewStepOfList(words);
        if (step.empty()) return;
        desk_->Push([renamed, at, step](CaseSession& session) {
          return renamed ? RenameStep(session.review(), *renamed, step)
                         : StartStep(session.review(), step, at, NewVisits(session));
        });
      });
}

}  // namespace afterscope

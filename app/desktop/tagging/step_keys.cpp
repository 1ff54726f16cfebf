// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/tagging/step_keys.hpp"

#include "annotate/case/blinding.hpp"
#include "annotate/case/tagging.hpp"
#include "annotate/case/visits.hpp"
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

void TakeOverOrReturn(FrameRef at, CaseDesk& desk) {
  desk.Push([at](CaseSession& session) {
    const StepVisit* running = VisitMeant(session.review(), at, std::nullopt);
    if (running != nullptr && running->taken_over)
      return ReturnInstruments(session.review(), at, NewVisits(session));
    return TakeOver(session.review(), session.record(), at, NewVisits(session));
  });
}

void MoveTo(const Boundary& boundary, FrameRef to, CaseDesk& desk) {
  desk.Push([boundary, to](CaseSession& session) {
    return MoveBoundary(session.review(), boundary.visit, boundary.edge, to);
  });
}

}  // namespace

bool StepKeys::Do(const std::string& action, const ActionScene& on, const std::optional<VisitId>& about) {
  if (action == "own step" || (action == "remark" && renaming_)) {
    AskOwnStep(on);
    return true;
  }
  return DoTagging(action, on) || DoBoundary(action, on) || DoHistory(action, on) ||
         DoVisit(action, on, about);
}

bool StepKeys::DoTagging(const std::string& action, const ActionScene& on) {
  const FrameRef at = on.SeenFrame();
  if (action == "end step")
    on.desk.Push([at](CaseSession& session) { return EndStep(session.review(), at); });
  else if (action == "other hand")
    other_hand_ = !other_hand_;
  else if (action == "end other hand")
    on.desk.Push([at](CaseSession& session) { return EndStep(session.review(), at, 1); });
  else if (action == "take over")
    TakeOverOrReturn(at, on.desk);
  else
    return false;
  return true;
}

bool StepKeys::DoBoundary(const std::string& action, const ActionScene& on) {
  const bool here = action == "boundary here", earlier = action == "boundary earlier";
  if (!here && !earlier && action != "boundary later") return false;
  const FrameRef playhead = on.player.playhead();
  const auto nearest = NearestBoundary(on.scene.view.review, on.scene.clock, playhead);
  if (!nearest) {
    on.say("There is no boundary to move; start a step first.", false);
  } else if (here) {
    MoveTo(*nearest, playhead, on.desk);
  } else {
    const FrameRef to = NudgedBoundary(on.scene.tables, nearest->at, earlier ? -1 : 1);
    MoveTo(*nearest, to, on.desk);
    on.JumpTo(to);
  }
  return true;
}

bool StepKeys::DoHistory(const std::string& action, const ActionScene& on) {
  const CaseView& view = on.scene.view;
  if (action == "undo") {
    if (!view.undo_label.empty()) on.say("Undone: " + view.undo_label, false);
    on.desk.Undo();
  } else if (action == "redo") {
    if (!view.redo_label.empty()) on.say("Done again: " + view.redo_label, false);
    on.desk.Redo();
  } else {
    return false;
  }
  return true;
}

// What is done to the visit that is meant: the one of the menu, else the one at the playhead.
bool StepKeys::DoVisit(const std::string& action, const ActionScene& on,
                       const std::optional<VisitId>& about) {
  const FrameRef at = on.SeenFrame();
  if (action == "step starts here") {
    on.desk.Push([at, about](CaseSession& session) { return StartsHere(session.review(), at, about); });
  } else if (action == "step ends here") {
    on.desk.Push([at, about](CaseSession& session) { return EndsHere(session.review(), at, about); });
  } else if (action == "remove step") {
    on.desk.Push([at, about](CaseSession& session) { return RemoveVisit(session.review(), at, about); });
  } else if (action == "split step" || action == "join steps" || action == "rename step" ||
             action == "operator") {
    if (const StepVisit* visit = VisitMeant(on.scene.view.review, at, about))
      Change(action, *visit, on);
    else
      on.say("There is no step at this frame; go to the step first.", true);
  } else {
    return false;
  }
  return true;
}

void StepKeys::Change(const std::string& action, const StepVisit& visit, const ActionScene& on) {
  if (!on.scene.Editable()) return on.say("This case can't be changed: it is open read-only.", true);
  const VisitId id = visit.id;
  if (action == "split step") {
    on.desk.Push([id, at = on.SeenFrame()](CaseSession& session) {
      return SplitVisit(session.review(), id, at, session.NewVisitId());
    });
  } else if (action == "join steps") {
    on.desk.Push([id](CaseSession& session) { return JoinWithNext(session.review(), id); });
  } else if (action == "rename step") {
    renaming_ = id;
    on.say("Rename " + steps_.list().NameOf(visit.step) +
               ": press the key of the right step, or Enter for other words.",
           false);
  } else {
    AskOperator(visit, on);
  }
}

void StepKeys::AskOperator(const StepVisit& visit, const ActionScene& on) {
  Ask(on.ask, "Who operated in " + steps_.list().NameOf(visit.step),
      "a code, never a name; empty: as the case says", visit.operator_code,
      [&desk = on.desk, id = visit.id](const std::string& code) {
        desk.Push([id, code](CaseSession& session) {
          return SetOperator(session.review(), id, ActualCode(session.record(), session.review(), code));
        });
      });
  const CaseRecord& record = on.scene.view.record;
  for (const std::string& code : {record.operator_code, record.supervisor_code})
    if (!code.empty()) on.ask.offers.push_back(code);
}

bool StepKeys::Press(const KeyChord& chord, const ActionScene& on) {
  if (chord.ctrl || chord.shift || chord.alt) return false;
  const StepKind* step = StepOfKey(steps_.list(), chord);
  if (step == nullptr) return false;
  Start(step->key, std::exchange(other_hand_, false) ? 1 : 0, on);
  return true;
}

void StepKeys::Start(const std::string& step, int lane, const ActionScene& on) {
  if (renaming_) return RenameTo(step, on.desk);
  if (!on.scene.Editable()) return on.say("Steps can be started once a recording is open for writing.", true);
  const FrameRef at = on.SeenFrame();
  on.desk.Push([step, at, lane](CaseSession& session) {
    return StartStep(session.review(), step, at, NewVisits(session), lane);
  });
  on.say((lane == 0 ? "" : "Other hand: ") + steps_.list().NameOf(step) + " from " +
             ClockText(on.scene.Seconds(at), 2),
         false);
}

void StepKeys::RenameTo(const std::string& step, CaseDesk& desk) {
  const auto visit = std::exchange(renaming_, std::nullopt);
  if (!visit || step.empty()) return;
  desk.Push(
      [visit = *visit, step](CaseSession& session) { return RenameStep(session.review(), visit, step); });
}

// A step that the list does not have: it is called as it is typed.
void StepKeys::AskOwnStep(const ActionScene& on) {
  if (!on.scene.Editable()) return on.say("Steps can be started once a recording is open for writing.", true);
  const auto renamed = std::exchange(renaming_, std::nullopt);
  if (!renamed) on.Pause();
  const FrameRef at = on.SeenFrame();
  Ask(on.ask,
      renamed ? "Rename the step" : "A step in your own words from " + ClockText(on.scene.Seconds(at), 2),
      "what the step is called", "", [this, &desk = on.desk, renamed, at](const std::string& words) {
        const std::string step = steps_.NewStep(words, desk);
        if (step.empty()) return;
        desk.Push([renamed, at, step](CaseSession& session) {
          return renamed ? RenameStep(session.review(), *renamed, step)
                         : StartStep(session.review(), step, at, NewVisits(session));
        });
      });
}

void StepKeys::Leave() {
  renaming_.reset();
  other_hand_ = false;
}

}  // namespace afterscope

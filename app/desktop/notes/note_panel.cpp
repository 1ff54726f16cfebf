// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/notes/note_panel.hpp"

#include "annotate/case/words.hpp"
#include "app/desktop/desk/moment_edits.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/notes/note_parts.hpp"
#include "app/desktop/notes/strip.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

const char* Title(MomentKind kind) {
  switch (kind) {
    case MomentKind::kRemark:
      return "Remark";
    case MomentKind::kTeachingPoint:
      return "Teaching point";
    case MomentKind::kComplication:
      return "Complication";
    case MomentKind::kSettings:
      return "Settings from here on (as set)";
    case MomentKind::kCheck:
      return "Check";
  }
  return "";
}

void DrawKind(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  switch (*state.kind) {
    case MomentKind::kRemark:
    case MomentKind::kTeachingPoint:
      return DrawWordsNote(state, scene, edits, enter);
    case MomentKind::kComplication:
      return DrawComplicationNote(state, scene, edits, enter);
    case MomentKind::kSettings:
      return DrawSettingsNote(state, scene, edits, enter);
    case MomentKind::kCheck:
      return DrawCheckNote(state, scene, edits, enter);
  }
}

void DrawInside(NoteState& state, const Scene& scene, EditQueue& edits) {
  StripTitle(scene.look, fmt::format("{} at {}", Title(*state.kind), ClockText(scene.Seconds(state.at), 2)));
  // The key that opened the note may be Enter: it does not close it again.
  const bool opened_now = std::exchange(state.just_opened, false);
  const bool enter = (!opened_now && EnterPressed()) || std::exchange(state.keep_now, false);
  if (EscapePressed()) {
    state.kind.reset();
    return;
  }
  DrawKind(state, scene, edits, enter);
}

// A digit in the text chooses the state; it is taken out of the text.
void TakeStateDigit(NoteState& state) {
  for (const char letter : state.text)
    if (letter >= '1' && letter <= '3') state.check = static_cast<CheckState>(letter - '0');
  std::erase_if(state.text, [](char letter) { return letter >= '1' && letter <= '3'; });
}

}  // namespace

void DrawWordsNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  NoteInput(state, "##words", "what you see, and why", state.text, -1);
  if (!IsPlainScript(state.text))
    Say(scene.look, state.text, scene.look.colours.text, scene.look.fonts.body, true);
  if (!enter) return;
  if (state.text.empty()) {
    state.kind.reset();
    return;
  }
  Moment moment;
  moment.text = state.text;
  moment.fields = state.fields;
  KeepNote(state, edits, moment);
}

void DrawCheckNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  const Look& look = scene.look;
  NoteInput(state, "##which", "type to find it", state.text, look.Px(200));
  TakeStateDigit(state);
  for (const CheckState each : {CheckState::kSeenDone, CheckState::kSeenNotDone, CheckState::kNotVisible}) {
    ImGui::SameLine();
    const std::string words = fmt::format("{}  {}", static_cast<int>(each), WordOf(each));
    if (WordButton(look, words, state.check == each)) state.check = each;
  }
  WordList checks;
  for (const CheckKind& check : scene.steps.checks)
    checks.items.push_back({check.key, check.name, {}, {}, {}, {}});
  if (checks.items.empty()) SayQuietly(look, "This step list has no checks.");
  const auto chosen = ChooseFrom(state, look, checks.Matching(state.text));
  if (!enter || !chosen) return;
  edits.Push([check = CheckKind{chosen->key, chosen->name, {}}, seen = state.check,
              at = state.at](CaseSession& session) {
    return SetCheckSeen(session.review(), check, seen, at, [&session] { return session.NewMomentId(); });
  });
  state.kind.reset();
}

void OpenNote(NoteState& state, MomentKind kind, FrameRef at) {
  state.kind = kind;
  state.changed.reset();
  state.at = at;
  state.text.clear();
  state.fields.clear();
  state.filled_from.clear();
  state.chosen = 0;
  state.check = CheckState::kSeenDone;
  state.wants_focus = true;
  state.just_opened = true;
  state.keep_now = false;
}

void ChangeNote(NoteState& state, const Moment& moment, const StepList& steps) {
  OpenNote(state, moment.kind, moment.at);
  state.changed = moment.id;
  state.text = moment.kind == MomentKind::kSettings ? moment.key : moment.text;
  state.fields = moment.fields;
  for (auto& [key, value] : state.fields)
    if (key.starts_with("step_")) value = steps.NameOf(value);
  if (moment.kind == MomentKind::kCheck) {
    const auto found = state.fields.find("state");
    if (found != state.fields.end())
      state.check = FromWord<CheckState>(found->second).value_or(CheckState::kSeenDone);
    state.text = moment.text.substr(0, moment.text.find(": "));
  }
}

void DrawNote(NoteState& state, const Scene& scene, EditQueue& edits, const ScreenRect& picture) {
  if (!state.kind) return;
  BeginStrip("note", scene.look, picture);
  DrawInside(state, scene, edits);
  EndStrip();
}

}  // namespace afterscope

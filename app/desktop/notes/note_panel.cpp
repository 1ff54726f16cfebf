// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/notes/note_panel.hpp"

#include "annotate/case/visits.hpp"
#include "annotate/case/words.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"

#include <fmt/format.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

constexpr float kListLines = 7;

bool Pressed(ImGuiKey key) { return ImGui::IsKeyPressed(ImGui::GetKeyIndex(key), false); }

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

// "Aspiration flow (not set on vacuum pumps)" -> "Aspiration flow".
std::string ShortName(const WordList::Item& item) { return item.name.substr(0, item.name.find(" (")); }

// One line of input; takes the focus when the note opens.
void Input(NoteState& state, const char* id, const char* hint, std::string& text, float width) {
  if (state.wants_focus) ImGui::SetKeyboardFocusHere();
  state.wants_focus = false;
  ImGui::SetNextItemWidth(width);
  ImGui::InputTextWithHint(id, hint, &text);
}

// Lines to choose from with the arrow keys or the mouse.
std::optional<WordList::Item> ChooseFrom(NoteState& state, const Scene& scene,
                                         const std::vector<WordList::Item>& items) {
  const Look& look = scene.look;
  if (items.empty()) return std::nullopt;
  const int last = static_cast<int>(items.size()) - 1;
  if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_DownArrow))) ++state.chosen;
  if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_UpArrow))) --state.chosen;
  state.chosen = std::clamp(state.chosen, 0, last);
  ImGui::BeginChild(
      "list", {0, look.Px(24) * std::min<float>(kListLines, static_cast<float>(items.size())) + look.Px(4)});
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  for (int i = 0; i <= last; ++i) {
    const auto& item = items[static_cast<std::size_t>(i)];
    const Row row = BeginRow(look, item.key.c_str(), look.Px(24), i == state.chosen);
    if (row.pressed) state.chosen = i;
    if (i == state.chosen && !ImGui::IsItemVisible()) ImGui::SetScrollHereY();
    RowText(look, row, row.from.x + look.Px(8), item.name, look.colours.text, look.fonts.body);
  }
  ImGui::PopStyleVar();
  ImGui::EndChild();
  return items[static_cast<std::size_t>(state.chosen)];
}

void Keep(NoteState& state, EditQueue& edits, Moment moment, std::vector<Edit> more) {
  moment.at = state.at;
  moment.kind = *state.kind;
  edits.Push([moment, more = std::move(more)](CaseSession& session) -> Result<EditGroup> {
    Moment named = moment;
    named.id = session.NewMomentId();
    EditGroup group{"Note " + std::string(WordOf(named.kind)), {Put<Moment>{named}}};
    group.edits.insert(group.edits.end(), more.begin(), more.end());
    return group;
  });
  state.kind.reset();
}

// What the list of this kind holds.
std::vector<WordList::Item> Choices(const NoteState& state, const Scene& scene) {
  if (state.kind == MomentKind::kComplication) return state.complications.Matching(state.text);
  WordList checks;
  for (const CheckKind& check : scene.steps.checks)
    checks.items.push_back({check.key, check.name, {}, {}, {}});
  return checks.Matching(state.text);
}

void KeepComplication(NoteState& state, const Scene& scene, EditQueue& edits,
                      const std::optional<WordList::Item>& chosen) {
  Moment moment;
  moment.key = chosen ? chosen->key : "other";
  moment.text = chosen ? chosen->name : state.text;
  moment.fields = state.fields;
  if (const StepVisit* running = RunningVisit(scene.view.review, state.at)) {
    moment.fields["step_recognised"] = running->step;
    const std::string& who = OperatorOf(scene.view.record, *running);
    if (!who.empty()) moment.fields["operator"] = who;
  }
  std::erase_if(moment.fields, [](const auto& field) { return field.second.empty(); });
  Keep(state, edits, moment, {});
}

void KeepCheck(NoteState& state, EditQueue& edits, const WordList::Item& chosen) {
  Moment moment;
  moment.key = chosen.key;
  moment.text = chosen.name + ": " + std::string(WordOf(state.check));
  moment.fields["state"] = std::string(WordOf(state.check));
  Keep(state, edits, moment, {SetCheck{chosen.key, state.check}});
}

void KeepSettings(NoteState& state, EditQueue& edits) {
  Moment moment;
  moment.key = state.text;  // the preset
  std::string words = state.text;
  for (const WordList::Item& item : state.settings.items) {
    const std::string& value = state.fields[item.key];
    if (value.empty()) continue;
    moment.fields[item.key] = value;
    words += fmt::format("{}{} {} {}", words.empty() ? "" : ", ", ShortName(item), value, item.unit);
  }
  moment.text = words;
  if (words.empty()) {
    state.kind.reset();
    return;
  }
  Keep(state, edits, moment, {});
}

void DrawWords(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  Input(state, "##words", "what you see, and why", state.text, -1);
  if (!IsPlainScript(state.text))
    Say(scene.look, state.text, scene.look.colours.text, scene.look.fonts.body, true);
  if (!enter) return;
  if (state.text.empty()) {
    state.kind.reset();
    return;
  }
  Moment moment;
  moment.text = state.text;
  Keep(state, edits, moment, {});
}

void DrawComplication(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  const float half = ImGui::GetContentRegionAvail().x / 2 - scene.look.Px(6);
  Input(state, "##which", "type to find it", state.text, half);
  ImGui::SameLine();
  Input(state, "##action", "what was done about it", state.fields["action"], -1);
  const auto chosen = ChooseFrom(state, scene, Choices(state, scene));
  if (enter && (chosen || !state.text.empty())) KeepComplication(state, scene, edits, chosen);
}

void DrawCheckNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  Input(state, "##which", "type to find it", state.text, scene.look.Px(220));
  for (const CheckState each : {CheckState::kSeenDone, CheckState::kSeenNotDone, CheckState::kNotVisible}) {
    ImGui::SameLine();
    if (WordButton(scene.look, std::string(WordOf(each)), state.check == each)) state.check = each;
  }
  const auto chosen = ChooseFrom(state, scene, Choices(state, scene));
  if (enter && chosen) KeepCheck(state, edits, *chosen);
}

void DrawSettings(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  const Look& look = scene.look;
  Input(state, "##preset", "preset", state.text, look.Px(140));
  std::string odd;
  for (const WordList::Item& item : state.settings.items) {
    ImGui::SameLine();
    const std::string hint = ShortName(item) + ", " + item.unit;
    const float width = look.script->Size(look.fonts.body, hint).x + look.Px(18);
    if (ImGui::GetContentRegionAvail().x < width) ImGui::NewLine();
    ImGui::PushID(item.key.c_str());
    Input(state, "##value", hint.c_str(), state.fields[item.key], width);
    ImGui::PopID();
    if (odd.empty()) odd = OddNumber(item, state.fields[item.key]);
  }
  if (!odd.empty()) Say(look, "!  " + odd, look.colours.warning, look.fonts.small);
  if (enter) KeepSettings(state, edits);
}

void DrawInside(NoteState& state, const Scene& scene, EditQueue& edits) {
  const Look& look = scene.look;
  Say(look, fmt::format("{} at {}", Title(*state.kind), ClockText(scene.Seconds(state.at), 2)),
      look.colours.text, look.fonts.strong);
  ImGui::SameLine();
  Say(look, "Enter keeps it, Esc leaves it", look.colours.quiet, look.fonts.small);
  // The key that opened the note may be Enter: it does not close it again.
  const bool enter =
      !std::exchange(state.just_opened, false) && (Pressed(ImGuiKey_Enter) || Pressed(ImGuiKey_KeyPadEnter));
  if (Pressed(ImGuiKey_Escape)) {
    state.kind.reset();
    return;
  }
  switch (*state.kind) {
    case MomentKind::kRemark:
    case MomentKind::kTeachingPoint:
      DrawWords(state, scene, edits, enter);
      break;
    case MomentKind::kComplication:
      DrawComplication(state, scene, edits, enter);
      break;
    case MomentKind::kSettings:
      DrawSettings(state, scene, edits, enter);
      break;
    case MomentKind::kCheck:
      DrawCheckNote(state, scene, edits, enter);
      break;
  }
}

}  // namespace

void OpenNote(NoteState& state, MomentKind kind, FrameRef at) {
  state.kind = kind;
  state.at = at;
  state.text.clear();
  state.fields.clear();
  state.chosen = 0;
  state.check = CheckState::kSeenDone;
  state.wants_focus = true;
  state.just_opened = true;
}

void DrawNote(NoteState& state, const Scene& scene, EditQueue& edits, const ScreenRect& picture) {
  if (!state.kind) return;
  const Look& look = scene.look;
  ImGui::SetNextWindowPos({picture.left + look.Px(12), picture.bottom - look.Px(10)}, ImGuiCond_Always,
                          {0, 1});
  ImGui::SetNextWindowSize({picture.Width() - look.Px(24), 0});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, look.Px(4));
  ImGui::Begin("note", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_AlwaysAutoResize);
  DrawInside(state, scene, edits);
  ImGui::End();
  ImGui::PopStyleVar();
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/notes/note_parts.hpp"

#include "annotate/case/words.hpp"
#include "app/desktop/look/field_ring.hpp"
#include "app/desktop/look/widgets.hpp"

#include <imgui_stdlib.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr float kListLines = 6;
constexpr float kFewLines = 4;  // in a low window, by the size of the text
constexpr float kLowWindow = 400;

}  // namespace

void NoteInput(NoteState& state, const char* id, const std::string& hint, std::string& text, float width) {
  if (state.wants_focus) ImGui::SetKeyboardFocusHere();
  state.wants_focus = false;
  ImGui::SetNextItemWidth(width);
  ImGui::InputTextWithHint(id, hint.c_str(), &text);
}

void NamedInput(NoteState& state, const Look& look, const std::string& name, const std::string& hint,
                std::string& text, float width) {
  if (ImGui::GetContentRegionAvail().x < width) ImGui::NewLine();
  ImGui::BeginGroup();
  Say(look, Fitted(look, look.fonts.small, name, width), look.colours.quiet, look.fonts.small);
  ImGui::PushID(name.c_str());
  NoteInput(state, "##value", hint, text, width);
  RingActiveField(look);
  ImGui::PopID();
  ImGui::EndGroup();
  ImGui::SameLine();
}

std::optional<WordList::Item> ChooseFrom(NoteState& state, const Look& look,
                                         const std::vector<WordList::Item>& items) {
  if (items.empty()) return std::nullopt;
  const int last = static_cast<int>(items.size()) - 1;
  if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_DownArrow))) ++state.chosen;
  if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_UpArrow))) --state.chosen;
  state.chosen = std::clamp(state.chosen, 0, last);
  const float lines = ImGui::GetIO().DisplaySize.y < look.Px(kLowWindow) ? kFewLines : kListLines;
  ImGui::BeginChild("list",
                    {0, look.Px(24) * std::min(lines, static_cast<float>(items.size())) + look.Px(4)});
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  for (int i = 0; i <= last; ++i) {
    const auto& item = items[static_cast<std::size_t>(i)];
    const Row row = BeginRow(look, item.key.c_str(), look.Px(24), i == state.chosen);
    if (row.pressed) state.chosen = i;
    if (i == state.chosen && !ImGui::IsItemVisible()) ImGui::SetScrollHereY();
    RowText(look, row, row.from.x + look.Px(8), item.name, look.colours.text, look.fonts.body,
            row.to.x - row.from.x - look.Px(12));
  }
  ImGui::PopStyleVar();
  ImGui::EndChild();
  return items[static_cast<std::size_t>(state.chosen)];
}

void KeepNote(NoteState& state, EditQueue& edits, Moment moment) {
  moment.at = state.at;
  moment.kind = *state.kind;
  if (state.changed) moment.id = *state.changed;
  std::erase_if(moment.fields, [](const auto& field) { return field.second.empty(); });
  edits.Push([moment](CaseSession& session) -> Result<EditGroup> {
    Moment named = moment;
    if (named.id.empty()) named.id = session.NewMomentId();
    return EditGroup{(moment.id.empty() ? "Note " : "Change ") + std::string(WordOf(named.kind)),
                     {Put<Moment>{named}}};
  });
  state.kind.reset();
}

}  // namespace afterscope

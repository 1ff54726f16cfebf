// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/step_list_panel.hpp"

#include "app/desktop/desk/step_list_edits.hpp"
#include "app/desktop/look/widgets.hpp"

#include <imgui_stdlib.h>

#include <functional>
#include <utility>

namespace afterscope {
namespace {

using Change = std::function<void(StepList&)>;

// A field without words; what was typed, once, when it is left after a change.
std::optional<std::string> Cell(const Look& look, TypedTexts& typed, const std::string& name,
                                const std::string& kept, float width, const char* hint) {
  std::string& text = typed.try_emplace(name, kept).first->second;
  ImGui::PushID(name.c_str());
  ImGui::SetNextItemWidth(width);
  ImGui::InputTextWithHint("", hint, &text, ImGuiInputTextFlags_AutoSelectAll);
  ImGui::PopID();
  const bool left = ImGui::IsItemDeactivatedAfterEdit();
  if (ImGui::IsItemActive() && !IsPlainScript(text))
    Say(look, text, look.colours.text, look.fonts.small, true);
  if (left && text != kept) return std::exchange(text, kept);
  if (!ImGui::IsItemActive()) text = kept;
  return std::nullopt;
}

void DrawLine(StepsState& state, const Scene& scene, const StepKind& step, Change& change) {
  const Look& look = scene.look;
  const float key_width = look.Px(32);
  const float button = look.Px(28);
  const float name_width = ImGui::GetContentRegionAvail().x - key_width - 3 * button - look.Px(16);
  ImGui::PushID(step.key.c_str());
  if (const auto typed = Cell(look, state.typed, "key of " + step.key, step.shortcut, key_width, "key"))
    change = [&state, key = step.key, typed = *typed](StepList& list) {
      state.problem = SetShortcut(list, key, typed);
    };
  ImGui::SameLine(0, look.Px(4));
  if (const auto typed = Cell(look, state.typed, "name of " + step.key, step.name, name_width, "name"))
    change = [key = step.key, typed = *typed](StepList& list) { RenameStepOfList(list, key, typed); };
  const auto press = [&](const char* sign, const char* words, Change wanted) {
    ImGui::SameLine(0, look.Px(4));
    if (ImGui::Button(sign, {button, 0})) change = std::move(wanted);
    if (ImGui::IsItemHovered()) scene.wishes.under = words;
  };
  press("↑", "Earlier in the order", [key = step.key](StepList& list) { MoveStep(list, key, -1); });
  press("↓", "Later in the order", [key = step.key](StepList& list) { MoveStep(list, key, 1); });
  press("×", "Out of the list; visits that have it keep it",
        [key = step.key](StepList& list) { RemoveStepOfList(list, key); });
  ImGui::PopID();
}

// The list as a file elsewhere: taken from there, or written there.
void DrawFiles(StepsState& state, const Scene& scene) {
  const Look& look = scene.look;
  Heading(look, "The list as a file");
  if (const auto path = Cell(look, state.typed, "take", "", -1, "take the list from this file"))
    scene.wishes.take_step_list = *path;
  if (const auto path = Cell(look, state.typed, "write", "", -1, "write this list to this file"))
    scene.wishes.write_step_list = *path;
  SayQuietly(look, "A list can also be dropped on the window. What is changed here is kept with this case.");
}

}  // namespace

void DrawStepListPanel(StepsState& state, const Scene& scene) {
  const Look& look = scene.look;
  Change change;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {look.Px(4), look.Px(3)});
  if (const auto name = Cell(look, state.typed, "name of the list", scene.steps.name, -1, "name of the list"))
    change = [name = *name](StepList& list) { list.name = name; };
  for (const StepKind& step : scene.steps.steps) DrawLine(state, scene, step, change);
  if (const auto name = Cell(look, state.typed, "new step", "", -1, "a new step"))
    change = [name = *name](StepList& list) { AddStep(list, name); };
  if (!state.problem.empty()) SayQuietly(look, "! " + state.problem);
  DrawFiles(state, scene);
  ImGui::PopStyleVar();
  if (!change) return;
  state.problem.clear();
  StepList changed = scene.steps;
  change(changed);
  scene.wishes.step_list = std::move(changed);
}

}  // namespace afterscope

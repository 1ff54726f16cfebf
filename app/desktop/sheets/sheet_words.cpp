// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/sheets/sheet.hpp"

#include <array>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr std::array<std::pair<SheetKind, const char*>, 4> kWords{{{SheetKind::kCases, "cases"},
                                                                   {SheetKind::kSteps, "steps"},
                                                                   {SheetKind::kMarks, "marks"},
                                                                   {SheetKind::kFindings, "findings"}}};

void DrawWord(SheetState& state, const Scene& scene, SheetKind kind, const std::string& word) {
  const Look& look = scene.look;
  const bool chosen = state.kind == kind && !state.folded;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 size = look.script->Size(look.fonts.body, word);
  const float height = look.Px(30);
  const bool pressed = ImGui::InvisibleButton(word.c_str(), {size.x + look.Px(18), height});
  const bool hovered = ImGui::IsItemHovered();
  if (pressed) {
    state.folded = chosen;
    state.kind = kind;
  }
  if (hovered) scene.wishes.under = chosen ? "Fold this sheet away" : "Open the sheet of " + word;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const Rgb colour = chosen || hovered ? look.colours.text : look.colours.quiet;
  look.script->Draw(list, look.fonts.body, {at.x + look.Px(9), std::round(at.y + (height - size.y) / 2)},
                    Ink(colour), word);
  if (chosen)
    list->AddRectFilled({at.x + look.Px(9), at.y + height - look.Px(3)},
                        {at.x + look.Px(9) + size.x, at.y + height - look.Px(1)}, Ink(look.colours.focus));
}

}  // namespace

void DrawSheetWords(SheetState& state, const Scene& scene) {
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  for (const auto& [kind, word] : kWords) {
    DrawWord(state, scene, kind, word);
    ImGui::SameLine();
  }
  ImGui::NewLine();
  ImGui::PopStyleVar();
}

}  // namespace afterscope

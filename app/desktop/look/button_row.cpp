// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/button_row.hpp"

#include "app/desktop/look/widgets.hpp"

namespace afterscope {

bool ButtonRow::Add(const std::string& words, const std::string& key, bool chosen) {
  const float width = look_.script->Size(look_.fonts.body, words).x +
                      (key.empty() ? 0 : KeyWidth(look_, key) + look_.Px(6)) +
                      2 * ImGui::GetStyle().FramePadding.x;
  if (!first_) {
    const float room = ImGui::GetWindowContentRegionMax().x + ImGui::GetWindowPos().x;
    if (ImGui::GetItemRectMax().x + ImGui::GetStyle().ItemSpacing.x + width <= room) ImGui::SameLine();
  }
  first_ = false;
  if (chosen) ImGui::PushStyleColor(ImGuiCol_Button, Ink(look_.colours.rule));
  const bool pressed = KeyedButton(look_, words, key);
  if (chosen) ImGui::PopStyleColor();
  return pressed;
}

bool EitherButton(const Look& look, const std::string& one, const std::string& other, bool other_holds,
                  const std::string& key) {
  ButtonRow row(look);
  const bool to_one = row.Add(one, other_holds ? key : std::string(), !other_holds);
  const bool to_other = row.Add(other, other_holds ? std::string() : key, other_holds);
  return other_holds ? to_one : to_other;
}

}  // namespace afterscope

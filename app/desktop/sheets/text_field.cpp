// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/text_field.hpp"

#include "app/desktop/look/field_ring.hpp"
#include "app/desktop/look/widgets.hpp"

#include <imgui_stdlib.h>

#include <cmath>

namespace afterscope {

void FieldWords(const Look& look, const std::string& words) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float down = std::round((ImGui::GetFrameHeight() - look.fonts.small->FontSize) / 2);
  look.script->Draw(ImGui::GetWindowDrawList(), look.fonts.small, {at.x, at.y + down},
                    Ink(look.colours.quiet), words);
  ImGui::SetCursorPosX(look.Px(150));
}

std::optional<std::string> DrawTextField(const Look& look, TypedTexts& typed, const TextField& field,
                                         const std::string& kept) {
  std::string& text = typed.try_emplace(field.name, kept).first->second;
  if (field.words_above)
    Say(look, field.words, look.colours.quiet, look.fonts.small);
  else
    FieldWords(look, field.words);
  ImGui::SetNextItemWidth(-1);
  ImGui::PushID(field.name.c_str());
  const float width = ImGui::CalcItemWidth() - look.Px(14);
  ImGui::InputTextWithHint("", field.hint.c_str(), &text);
  ImGui::PopID();
  RingActiveField(look);
  const bool left = ImGui::IsItemDeactivatedAfterEdit();
  const bool active = ImGui::IsItemActive();
  // What a field can't show: a long text, a script that fonts alone don't set.
  if (!IsPlainScript(text) || look.script->Size(look.fonts.body, text).x > width)
    Say(look, text, look.colours.text, look.fonts.small, true);
  if (left && text != kept) return text;
  if (!active) text = kept;
  return std::nullopt;
}

}  // namespace afterscope

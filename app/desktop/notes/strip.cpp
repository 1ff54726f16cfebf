// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/notes/strip.hpp"

#include "app/desktop/look/widgets.hpp"

namespace afterscope {
namespace {

bool Pressed(ImGuiKey key) { return ImGui::IsKeyPressed(ImGui::GetKeyIndex(key), false); }

}  // namespace

void BeginStrip(const char* name, const Look& look, const ScreenRect& picture) {
  ImGui::SetNextWindowPos({picture.left + look.Px(12), picture.bottom - look.Px(10)}, ImGuiCond_Always,
                          {0, 1});
  ImGui::SetNextWindowSize({picture.Width() - look.Px(24), 0});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, look.Px(4));
  ImGui::Begin(name, nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_AlwaysAutoResize);
}

void EndStrip() {
  ImGui::End();
  ImGui::PopStyleVar();
}

void StripTitle(const Look& look, const std::string& title) {
  Say(look, title, look.colours.text, look.fonts.strong);
  ImGui::SameLine();
  Say(look, "Enter keeps it, Esc leaves it", look.colours.quiet, look.fonts.small);
}

bool EnterPressed() { return Pressed(ImGuiKey_Enter) || Pressed(ImGuiKey_KeyPadEnter); }

bool EscapePressed() { return Pressed(ImGuiKey_Escape); }

}  // namespace afterscope

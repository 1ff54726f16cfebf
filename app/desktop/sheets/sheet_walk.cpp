// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/sheet_walk.hpp"

#include <imgui.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

namespace afterscope {

void SheetWalk::Start() {
  on_ = true;
  wants_focus_ = true;
}

bool SheetWalk::Takes(const KeyChord& chord) {
  if (!on_ || chord.ctrl || chord.alt) return false;
  if (chord.key == "Escape") on_ = false;
  constexpr std::array<std::string_view, 8> kKeys{"Up",    "Down",  "Left", "Right",
                                                  "Space", "Enter", "Tab",  "Escape"};
  return std::find(kKeys.begin(), kKeys.end(), chord.key) != kKeys.end();
}

void SheetWalk::Follow(bool possible) {
  ImGuiIO& io = ImGui::GetIO();
  if (!possible || (on_ && ImGui::IsMouseClicked(0))) on_ = false;
  if (on_)
    io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
  else
    io.ConfigFlags &= ~ImGuiConfigFlags_NavEnableKeyboard;
  // Enter presses as Space does.
  const int enter = io.KeyMap[ImGuiKey_Enter];
  const int space = io.KeyMap[ImGuiKey_Space];
  if (enter < 0 || space < 0) return;
  const bool down = on_ && io.KeysDown[enter];
  if (down || enter_down_) io.KeysDown[space] = down;
  enter_down_ = down;
}

void SheetWalk::BeforeSheet() {
  if (std::exchange(wants_focus_, false)) ImGui::SetNextWindowFocus();
}

std::vector<KeyHint> SheetWalk::Hints() const {
  return {{"Arrows", "from one to the next"}, {"Enter", "press it"}, {"Escape", "back to the recording"}};
}

}  // namespace afterscope

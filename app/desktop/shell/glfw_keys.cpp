// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/glfw_keys.hpp"

#include <GLFW/glfw3.h>
#include <fmt/format.h>

#include <array>
#include <string>
#include <utility>

namespace afterscope {
namespace {

constexpr std::array<std::pair<int, const char*>, 19> kNamed{{{GLFW_KEY_SPACE, "Space"},
                                                              {GLFW_KEY_ENTER, "Enter"},
                                                              {GLFW_KEY_KP_ENTER, "Enter"},
                                                              {GLFW_KEY_LEFT, "Left"},
                                                              {GLFW_KEY_RIGHT, "Right"},
                                                              {GLFW_KEY_UP, "Up"},
                                                              {GLFW_KEY_DOWN, "Down"},
                                                              {GLFW_KEY_HOME, "Home"},
                                                              {GLFW_KEY_END, "End"},
                                                              {GLFW_KEY_PAGE_UP, "PageUp"},
                                                              {GLFW_KEY_PAGE_DOWN, "PageDown"},
                                                              {GLFW_KEY_BACKSPACE, "Backspace"},
                                                              {GLFW_KEY_DELETE, "Delete"},
                                                              {GLFW_KEY_INSERT, "Insert"},
                                                              {GLFW_KEY_ESCAPE, "Escape"},
                                                              {GLFW_KEY_TAB, "Tab"},
                                                              {GLFW_KEY_KP_ADD, "+"},
                                                              {GLFW_KEY_KP_SUBTRACT, "-"},
                                                              {GLFW_KEY_EQUAL, "+"}}};

std::string NameOf(int key, int scancode) {
  for (const auto& [code, name] : kNamed)
    if (code == key) return name;
  if (key >= GLFW_KEY_F1 && key <= GLFW_KEY_F12) return fmt::format("F{}", key - GLFW_KEY_F1 + 1);
  const char* printed = glfwGetKeyName(key, scancode);
  if (printed == nullptr) return {};
  std::string name = printed;
  if (name.size() == 1 && name[0] >= 'a' && name[0] <= 'z') name[0] = static_cast<char>(name[0] - 'a' + 'A');
  return name;
}

}  // namespace

std::optional<KeyChord> ChordOf(int key, int scancode, int mods) {
  KeyChord chord;
  chord.key = NameOf(key, scancode);
  if (chord.key.empty()) return std::nullopt;
  chord.ctrl = (mods & GLFW_MOD_CONTROL) != 0;
  chord.shift = (mods & GLFW_MOD_SHIFT) != 0;
  chord.alt = (mods & GLFW_MOD_ALT) != 0;
  if (chord.key == "+" && key == GLFW_KEY_EQUAL) chord.shift = false;  // where + is above =
  return chord;
}

}  // namespace afterscope

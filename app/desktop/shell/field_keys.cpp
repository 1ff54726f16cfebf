// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/field_keys.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace afterscope {
namespace {

constexpr std::array<std::string_view, 12> kMovesOrTakes{
    "Left", "Right", "Up", "Down", "Home", "End", "Tab", "Backspace", "Delete", "Insert", "Enter", "Escape"};

bool IsFunctionKey(const std::string& key) { return key.size() > 1 && key[0] == 'F'; }

// All of it, copy, cut, paste, undo and both ways of doing it again.
bool IsCtrlOfText(const KeyChord& chord) {
  constexpr std::string_view kLetters = "ACXVYZ";
  if (chord.key.size() != 1) return false;
  return chord.shift ? chord.key == "Z" : kLetters.find(chord.key) != std::string_view::npos;
}

}  // namespace

bool IsForField(const KeyChord& chord) {
  if (std::find(kMovesOrTakes.begin(), kMovesOrTakes.end(), chord.key) != kMovesOrTakes.end()) return true;
  if (IsFunctionKey(chord.key)) return false;
  if (chord.ctrl == chord.alt) return true;
  return chord.ctrl && IsCtrlOfText(chord);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/key_map.hpp"

#include <optional>

namespace afterscope {

// A key press of GLFW as a chord; what stands on a key follows the keyboard's layout. Empty for keys without
// a name and for Ctrl, Alt, Shift by themselves.
std::optional<KeyChord> ChordOf(int key, int scancode, int mods);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/palette.hpp"
#include "app/desktop/look/script_text.hpp"

#include <imgui.h>

namespace afterscope {

struct Fonts {
  ImFont* body = nullptr;
  ImFont* small = nullptr;
  ImFont* strong = nullptr;
  ImFont* figures = nullptr;  // the clock
  ImFont* large = nullptr;    // to be read across a room
};

// What everything is drawn with. One thread.
struct Look {
  Palette colours = DarkPalette();
  Fonts fonts;
  float unit = 1;  // screen pixels for one pixel of the design at 100 %
  ScriptText* script = nullptr;

  float Px(float design_px) const { return design_px * unit; }
};

// Loads the fonts at that size into ImGui's atlas (to be uploaded by the caller); the built-in one where the
// system has none of those that are looked for.
Fonts LoadFonts(float unit);
// Sets ImGui's own style to match.
void ApplyStyle(const Look& look);

}  // namespace afterscope

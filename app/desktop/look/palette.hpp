// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/overlay/theme.hpp"

#include <imgui.h>

#include <cmath>

namespace afterscope {

inline ImU32 Ink(Rgb c, double opacity = 1) {
  return IM_COL32(c.r, c.g, c.b, static_cast<int>(std::lround(opacity * 255)));
}

// The window's own colours. The greys are ours; everything that means something comes from the Okabe-Ito set
// of annotate/overlay/theme.hpp (toned where text needs it), and never by colour alone. The contrast of every
// pair that is used is computed by a test.
struct Palette {
  Rgb surround;  // round the picture
  Rgb sheet;     // side sheet, timeline, bottom line
  Rgb raised;    // under the pointer, chosen
  Rgb rule;      // thin lines
  Rgb text;
  Rgb quiet;    // second in line
  Rgb faint;    // ticks, what is off
  Rgb focus;    // what the keys act on
  Rgb warning;  // always beside a sign
  bool light = false;

  // A step's band: its tint, toned down to the surround.
  Rgb Band(std::size_t order) const {
    return light ? StepTint(order) : Mixed(StepTint(order), Rgb{24, 26, 30}, 0.62);
  }
  Rgb BandText() const { return light ? Rgb{20, 22, 25} : Rgb{245, 245, 243}; }
};

inline Palette DarkPalette() {
  return {{14, 15, 17},    {24, 26, 29},    {40, 43, 48},        {52, 56, 62},       {231, 230, 226},
          {160, 166, 172}, {104, 110, 117}, okabe_ito::kSkyBlue, okabe_ito::kOrange, false};
}

inline Palette LightPalette() {
  return {{216, 215, 210},
          {243, 242, 238},
          {225, 225, 221},
          {196, 197, 195},
          {24, 26, 29},
          {82, 88, 95},
          {132, 137, 142},
          okabe_ito::kBlue,
          Mixed(okabe_ito::kVermilion, okabe_ito::kBlack, 0.3),
          true};
}

}  // namespace afterscope

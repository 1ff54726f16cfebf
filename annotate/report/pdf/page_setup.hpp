// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

enum class Paper { kA4, kLetter };

// All lengths in points of 1/72 inch.
struct PageSetup {
  double width = 595.276;  // ISO 216 A4: 210 x 297 mm
  double height = 841.890;
  double side = 50;  // margins
  double top = 50;
  double bottom = 58;  // the footer stands in it

  double TextWidth() const { return width - 2 * side; }
  double TextBottom() const { return height - bottom; }
};

constexpr PageSetup PageSetupFor(Paper paper) {
  PageSetup setup;
  if (paper == Paper::kLetter) setup.width = 612, setup.height = 792;  // ANSI A: 8.5 x 11 inches
  return setup;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/palette.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

// Relative luminance and contrast ratio as defined by WCAG 2.2 (W3C Recommendation, 5 October 2023, "relative
// luminance" and "contrast ratio").
double Linear(std::uint8_t channel) {
  const double c = channel / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double Luminance(Rgb c) { return 0.2126 * Linear(c.r) + 0.7152 * Linear(c.g) + 0.0722 * Linear(c.b); }

double Contrast(Rgb a, Rgb b) {
  const double x = Luminance(a);
  const double y = Luminance(b);
  return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

constexpr double kText = 4.5;       // success criterion 1.4.3, level AA, text of normal size
constexpr double kSign = 3.0;       // success criterion 1.4.11, signs and parts of controls
constexpr std::size_t kTints = 14;  // every tint of the steps, twice round

}  // namespace

TEST_CASE("The contrast is that of the definition", "[look]") {
  CHECK(Contrast({0, 0, 0}, {255, 255, 255}) == Approx(21));  // the largest ratio that the definition gives
  CHECK(Contrast({119, 119, 119}, {255, 255, 255}) ==
        Approx(4.48).margin(0.01));  // #777 on white, a known near miss
}

TEST_CASE("Text stands out from every ground it is written on, dark and light", "[look]") {
  for (const Palette& c : {DarkPalette(), LightPalette()}) {
    INFO((c.light ? "light" : "dark"));
    for (const Rgb ground : {c.surround, c.sheet, c.raised}) {
      CHECK(Contrast(c.text, ground) >= kText);
      CHECK(Contrast(c.quiet, ground) >= kText);
    }
    CHECK(Contrast(c.text, c.rule) >= kText);  // the button that is chosen
    for (const Rgb ground : {c.surround, c.sheet}) CHECK(Contrast(c.warning, ground) >= kText);
    for (std::size_t i = 0; i < kTints; ++i) {
      INFO("step " << i);
      CHECK(Contrast(c.BandText(), c.Band(i)) >= kText);
    }
  }
}

TEST_CASE("Signs stand out from the ground they are drawn on", "[look]") {
  for (const Palette& c : {DarkPalette(), LightPalette()}) {
    INFO((c.light ? "light" : "dark"));
    for (const Rgb ground : {c.surround, c.sheet}) CHECK(Contrast(c.focus, ground) >= kSign);
    CHECK(Contrast(c.faint, c.sheet) >= kSign);
  }
}

}  // namespace afterscope

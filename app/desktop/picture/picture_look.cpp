// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/picture_look.hpp"

#include <fmt/format.h>

#include <cmath>

namespace afterscope {
namespace {

constexpr double kStops = 0.25;
constexpr double kContrast = 0.1;
constexpr double kLocal = 0.25;

// On its step, so that going there and back again ends where it began.
double Stepped(double value, double step) { return std::round(value / step) * step; }

Deinterlacing NextOf(Deinterlacing way) {
  return static_cast<Deinterlacing>((static_cast<int>(way) + 1) % 3);
}

void Append(std::string& words, const std::string& more) {
  if (!words.empty()) words += ", ";
  words += more;
}

}  // namespace

Clarity PictureLook::Shown() const {
  return untouched ? Clarity{Deinterlacing::kNever, 0, 1, 0} : WithinRange(clarity);
}

bool DoPictureLook(PictureLook& look, const std::string& action) {
  Clarity& c = look.clarity;
  if (action == "untouched picture") {
    look.untouched = !look.untouched;
    return true;
  }
  if (action == "magnifier") {
    look.magnifier = !look.magnifier;
    return true;
  }
  if (action == "picture counts") {
    look.counts = !look.counts;
    return true;
  }
  if (action == "picture controls") {
    look.panel = !look.panel;
    return true;
  }
  if (action == "brighter" || action == "darker")
    c.exposure_stops = Stepped(c.exposure_stops + (action == "brighter" ? kStops : -kStops), kStops);
  else if (action == "more contrast" || action == "less contrast")
    c.contrast = Stepped(c.contrast + (action == "more contrast" ? kContrast : -kContrast), kContrast);
  else if (action == "more local contrast" || action == "less local contrast")
    c.local_contrast =
        Stepped(c.local_contrast + (action == "more local contrast" ? kLocal : -kLocal), kLocal);
  else if (action == "deinterlace")
    c.deinterlacing = NextOf(c.deinterlacing);
  else if (action == "picture as recorded")
    c = {};
  else
    return false;
  c = WithinRange(c);
  look.untouched = false;  // what was asked for is to be seen
  return true;
}

std::string LookWords(const PictureLook& look) {
  if (look.untouched) return "untouched";
  const Clarity c = look.Shown();
  std::string words;
  if (c.exposure_stops != 0) Append(words, fmt::format("exposure {:+.2g}", c.exposure_stops));
  if (c.contrast != 1) Append(words, fmt::format("contrast {:.0f} %", c.contrast * 100));
  if (c.local_contrast != 0) Append(words, fmt::format("local contrast {:.0f} %", c.local_contrast * 100));
  if (c.deinterlacing == Deinterlacing::kAlways) Append(words, "deinterlaced");
  if (c.deinterlacing == Deinterlacing::kNever) Append(words, "not deinterlaced");
  return words;
}

}  // namespace afterscope

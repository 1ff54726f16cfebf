// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/overlay/shape.hpp"

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace afterscope {

// sRGB, 8 bits.
struct Rgb {
  std::uint8_t r = 0;
  std::uint8_t g = 0;
  std::uint8_t b = 0;
  friend bool operator==(const Rgb&, const Rgb&) = default;
};

// The part t of b in a mixture with a, in sRGB; t in [0, 1].
inline Rgb Mixed(Rgb a, Rgb b, double t) {
  const auto mix = [t](std::uint8_t x, std::uint8_t y) {
    return static_cast<std::uint8_t>(std::lround(x + (y - x) * t));
  };
  return {mix(a.r, b.r), mix(a.g, b.g), mix(a.b, b.b)};
}

// The eight colours that people with any common colour vision tell apart: Masataka Okabe and Kei Ito, "Color
// Universal Design (CUD): how to make figures and presentations that are friendly to colorblind people",
// 2002, revised 2008.
namespace okabe_ito {
inline constexpr Rgb kBlack{0, 0, 0};
inline constexpr Rgb kOrange{230, 159, 0};
inline constexpr Rgb kSkyBlue{86, 180, 233};
inline constexpr Rgb kBluishGreen{0, 158, 115};
inline constexpr Rgb kYellow{240, 228, 66};
inline constexpr Rgb kBlue{0, 114, 178};
inline constexpr Rgb kVermilion{213, 94, 0};
inline constexpr Rgb kReddishPurple{204, 121, 167};
}  // namespace okabe_ito

inline constexpr Rgb kWhite{255, 255, 255};
inline constexpr Rgb kNeutralLight{226, 226, 226};

// Colour of a role over a picture. Colour is never the only sign: shapes carry a line style too.
constexpr Rgb ColorOf(Role role) {
  using namespace okabe_ito;
  switch (role) {
    case Role::kLimbus:
      return kSkyBlue;
    case Role::kPupil:
      return kReddishPurple;
    case Role::kRhexis:
      return kYellow;
    case Role::kRhexisIdeal:
      return kWhite;
    case Role::kLensEdge:
      return kBluishGreen;
    case Role::kIncision:
      return kOrange;
    case Role::kTip:
      return kYellow;
    case Role::kTrail:
    case Role::kTipMap:
      return kSkyBlue;
    case Role::kRuler:
      return kWhite;
    case Role::kArrow:
      return kYellow;
    case Role::kLabel:
      return kWhite;
    case Role::kCover:
      return kBlack;
    case Role::kDial:
      return kNeutralLight;
    case Role::kOverlapped:
      return kBlue;
    case Role::kBare:
      return kVermilion;
    case Role::kUncertain:
      return kYellow;
    case Role::kHiddenByIris:
      return kNeutralLight;
    case Role::kHandle:
      return kWhite;
  }
  return kWhite;
}

// What is drawn a little wider under every line and letter, so that they stand out on a bright picture as on
// a dark one.
inline constexpr Rgb kCasing{16, 18, 20};
inline constexpr double kCasingExtraPt = 1.2;  // added to a line's width, in all
inline constexpr double kCasingOpacity = 0.55;

// Tints of steps in their order, light enough for dark letters. Steps are told apart by name and order first.
inline Rgb StepTint(std::size_t order) {
  using namespace okabe_ito;
  constexpr Rgb kBases[] = {kSkyBlue, kOrange, kReddishPurple, kYellow, kBluishGreen, kBlue, kVermilion};
  constexpr std::size_t kCount = sizeof(kBases) / sizeof(kBases[0]);
  return Mixed(kBases[order % kCount], kWhite, 0.55);
}

}  // namespace afterscope

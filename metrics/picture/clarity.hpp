// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/picture/rgb_image.hpp"

#include <array>

namespace afterscope {

enum class Deinterlacing {
  kAsRecorded,  // where the recording says that it is interlaced
  kAlways,      // also where it does not say so
  kNever,
};

// How a picture is made clearer for the eye. Nothing is ever measured from the result.
struct Clarity {
  Deinterlacing deinterlacing = Deinterlacing::kAsRecorded;
  double exposure_stops = 0;  // -3 to 3: light times 2^stops
  double contrast = 1;        // 0.5 to 2: distance from middle grey
  double local_contrast = 0;  // 0 to 2: how much of what a place differs from its neighbourhood is added
  friend bool operator==(const Clarity&, const Clarity&) = default;
};

// With every value in its range; what is no number counts as untouched.
Clarity WithinRange(const Clarity& clarity);
// Neither exposure nor contrast nor local contrast are changed.
bool LeavesColours(const Clarity& clarity);
bool Deinterlaces(const Clarity& clarity, const Picture& picture);

// The same as factors for one pixel's colour in 0 to 1, before clamping:
//   lifted = rgb + local * d / (1 + 4 |d|), d = its lightness less that of its neighbourhood (see LocalMean),
//   both as grey in 0 to 1; the divisor keeps edges of glints from drawing dark rims;
//   out = (gain * lifted - 0.5) * contrast + 0.5.
// gain = 2^(stops / 2.4): the light of a display is the 2.4th power of what it gets (ITU-R BT.1886).
struct ClarityFactors {
  float gain = 1;
  float contrast = 1;
  float local = 0;

  static ClarityFactors Of(const Clarity& clarity);
  std::array<float, 3> Apply(const std::array<float, 3>& rgb, float above_neighbourhood) const;
};

// The picture as ToRgb gives it, made clearer: the CPU twin of shaders/yuv_to_rgb.frag with deinterlace.frag,
// local_mean.frag and smooth.frag before it. Empty for an empty picture.
RgbImage ToClearRgb(const Picture& picture, const Clarity& clarity);

}  // namespace afterscope

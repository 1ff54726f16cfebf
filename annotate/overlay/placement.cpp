// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/placement.hpp"

#include <cmath>

namespace afterscope {

namespace {

double AspectOf(Rational pixel_aspect) { return pixel_aspect.valid() ? pixel_aspect.value() : 1.0; }

int QuarterTurns(int rotation_deg) { return ((rotation_deg / 90) % 4 + 4) % 4; }

}  // namespace

double OutFromSq::Scale() const { return std::sqrt(std::abs(xx * yy - xy * yx)); }

ShownSize ShownSizeOf(int width, int height, Rational pixel_aspect, int rotation_deg) {
  const double w = width * AspectOf(pixel_aspect);
  const double h = height;
  if (QuarterTurns(rotation_deg) % 2 == 1) return {h, w};
  return {w, h};
}

OutFromSq PlacePicture(int width, int height, Rational pixel_aspect, int rotation_deg, OutRect target) {
  const double aspect = AspectOf(pixel_aspect);
  const ShownSize shown = ShownSizeOf(width, height, pixel_aspect, rotation_deg);
  if (!(shown.width > 0) || !(shown.height > 0)) return {};
  const double sx = target.width / shown.width;
  const double sy = target.height / shown.height;
  const double w = width * aspect;
  const double h = height;
  // The picture's corner lies half a pixel before the centre of its first pixel: u and v run from 0 to w and h.
  const double u0 = 0.5 * aspect;
  const double v0 = 0.5;
  OutFromSq out;
  switch (QuarterTurns(rotation_deg)) {
    case 0: out = {1, 0, u0, 0, 1, v0}; break;
    case 1: out = {0, -1, h - v0, 1, 0, u0}; break;        // clockwise: the left edge becomes the top
    case 2: out = {-1, 0, w - u0, 0, -1, h - v0}; break;
    default: out = {0, 1, v0, -1, 0, w - u0}; break;
  }
  return {sx * out.xx, sx * out.xy, sx * out.x0 + target.x, sy * out.yx, sy * out.yy, sy * out.y0 + target.y};
}

}  // namespace afterscope

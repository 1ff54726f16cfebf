// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/base/point.hpp"

namespace afterscope {

// How a decoded picture is shown: stretched horizontally to square pixels, then turned clockwise. Shown
// positions are in square pixels from the top left CORNER of the turned picture (x right, y down), so that a
// screen or page maps them by scale and shift alone; pixel positions (PointPx, PointSq) have (0, 0) at the
// CENTRE of the top left pixel.
struct ShownPicture {
  int width_px = 0;
  int height_px = 0;
  double aspect = 1;     // width / height of a pixel
  int rotation_deg = 0;  // 0, 90, 180, 270; anything else counts as 0

  struct Spot {
    double x = 0;
    double y = 0;
  };

  static ShownPicture Of(const Picture& picture);
  static ShownPicture Of(int width_px, int height_px, Rational pixel_aspect, int rotation_deg);

  double Width() const;  // of the shown picture, in square pixels
  double Height() const;
  Spot FromPx(PointPx p) const;
  Spot FromSq(PointSq p) const { return FromPx(PxFromSq(p, aspect)); }
  PointPx PxAt(Spot spot) const;
};

}  // namespace afterscope

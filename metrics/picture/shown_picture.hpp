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

// A rectangle of the output (a page, a window, an image), y down.
struct OutRect {
  double x = 0;
  double y = 0;
  double width = 0;
  double height = 0;
};

// Where a square pixel of the recording goes in the output: out = (xx*x + xy*y + x0, yx*x + yy*y + y0).
struct OutFromSq {
  double xx = 1, xy = 0, x0 = 0;
  double yx = 0, yy = 1, y0 = 0;
  double X(PointSq p) const { return xx * p.x + xy * p.y + x0; }
  double Y(PointSq p) const { return yx * p.x + yy * p.y + y0; }
  double Scale() const;  // output units per square pixel
};

// Places the whole picture, turned for display, in `target` (whose proportions should be the picture's).
OutFromSq PlacePicture(const ShownPicture& shown, OutRect target);

}  // namespace afterscope

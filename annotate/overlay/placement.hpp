// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"
#include "metrics/picture/shown_picture.hpp"

namespace afterscope {

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

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"
#include "metrics/base/rational.hpp"

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

// How large a picture is when it is shown: pixels made square, then turned clockwise by rotation_deg (a multiple of
// 90). In square pixels; 0 by 0 where there is no picture.
struct ShownSize {
  double width = 0;
  double height = 0;
};
ShownSize ShownSizeOf(int width, int height, Rational pixel_aspect, int rotation_deg);

// Places the whole picture, turned for display, in `target` (whose proportions should be those of ShownSizeOf).
OutFromSq PlacePicture(int width, int height, Rational pixel_aspect, int rotation_deg, OutRect target);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/angle.hpp"
#include "metrics/base/point.hpp"

namespace afterscope {

// An ellipse on a picture, in that picture's pixels. half_long >= half_short > 0; angle: of the long axis,
// from x towards y (clockwise on the screen), in [-90, 90) degrees; meaningless where the two are equal.
struct EyeEllipse {
  PointPx center;
  double half_long = 0;
  double half_short = 0;
  Angle angle;

  // Of the circle of equal area.
  double MeanDiameter() const;
};

// The ellipse as the image of the unit circle: point = center + [xx xy; xy yy] * (cos t, sin t). The matrix
// is symmetric and positive definite, so that t runs close to the direction seen from the centre.
struct EllipseMap {
  PointPx center;
  double xx = 1, xy = 0, yy = 1;

  PointPx At(double cos_t, double sin_t, double radius = 1) const {
    return {center.x + radius * (xx * cos_t + xy * sin_t), center.y + radius * (xy * cos_t + yy * sin_t)};
  }
  // Where a point lies in the unit circle's plane; the map is never singular for an ellipse as above.
  OffsetPx Normalized(PointPx p) const;
};

EllipseMap MapOf(const EyeEllipse& ellipse);
EyeEllipse EllipseOf(const EllipseMap& map);

// The map with `from_unit` = [1 + s + p, q; q, 1 + s - p] and the shift (dx, dy), both in the unit circle's
// plane, put in front, made symmetric again.
EllipseMap Adjusted(const EllipseMap& map, double dx, double dy, double s, double p, double q);

// The ellipse of the same eye on a picture enlarged by `factor` (pixel centres at whole numbers).
EyeEllipse Enlarged(const EyeEllipse& ellipse, double factor);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/angle.hpp"
#include "metrics/base/point.hpp"

#include <optional>
#include <vector>

namespace afterscope {

template <class Space>
struct Circle {
  Point<Space> centre;
  double radius = 0;
};
using CircleSq = Circle<SqSpace>;
using CircleMm = Circle<MmSpace>;

// The circle with the least sum of squared distances to the points (geometric least squares: started from the
// algebraic fit, refined by Gauss-Newton). Empty with fewer than three points, or collinear ones.
std::optional<CircleSq> FitCircle(const std::vector<PointSq>& points);

// Semi-axes with major >= minor; `tilt` of the major one from the x axis towards the y axis, in [0, 180)
// degrees.
struct EllipseSq {
  PointSq centre;
  double major = 0;
  double minor = 0;
  Angle tilt;
};
// Least-squares ellipse (the direct method of Fitzgibbon, Pilu and Fisher, as OpenCV has it, in single
// precision). Empty with fewer than five points, or where no proper ellipse comes out.
std::optional<EllipseSq> FitEllipse(const std::vector<PointSq>& points);

// Two circles of radius r (rhexis) and R (optic) with centres d apart.
struct CircleOverlap {
  double area = 0;  // common to both
  double margin_least =
      0;  // R - r - d: least overlap of the second by what lies outside the first; negative: bare
  double margin_most = 0;  // R - r + d
  Angle bare_arc;          // of the second circle's edge that lies inside the first
};
// Radii must be positive and d not negative.
CircleOverlap OverlapOfCircles(double r, double R, double d);

}  // namespace afterscope

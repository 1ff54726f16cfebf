// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <vector>

namespace afterscope::phantom {

// A closed curve that every ray from `centre` meets once: its radius for directions in equal steps, the first
// along +x, turning towards +y (clockwise on screen). Between the steps the radius is interpolated linearly.
struct PolarShape {
  PointMm centre;
  std::vector<double> radii_mm;

  double RadiusAt(double angle) const;  // angle in radians, any turn
  PointMm At(double angle) const;
  std::vector<PointMm> Polygon() const;
  double LeastRadius() const;
  double LargestRadius() const;
};

// One term of a Fourier series in the direction: radius *= 1 + cosine * cos(order * a) + sine * sin(order *
// a).
struct Ripple {
  int order = 3;
  double cosine = 0;
  double sine = 0;
};

// An ellipse with half axes a (along `axis`, radians from +x towards +y) and b, rippled. 720 directions.
PolarShape RippledEllipse(PointMm centre, double a_mm, double b_mm, double axis,
                          const std::vector<Ripple>& ripples);
// The same shape with lengths multiplied, about (0, 0).
PolarShape Scaled(const PolarShape& shape, double factor);

}  // namespace afterscope::phantom

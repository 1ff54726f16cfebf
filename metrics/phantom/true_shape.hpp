// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <vector>

namespace afterscope::phantom {

// What is true of a closed outline, from its dense polygon (hundreds of points), so that polygon and curve
// differ by less than 1e-4 of each value. Formulas: shoelace area and centroid; circularity 4 pi A / P^2;
// largest and smallest distance of parallel tangents (for the smallest, tried in steps of a quarter degree).
struct ShapeFacts {
  double area_mm2 = 0;
  double perimeter_mm = 0;
  double circularity = 0;
  double equivalent_diameter_mm = 0;
  double largest_diameter_mm = 0;
  double smallest_diameter_mm = 0;
  double largest_departure_mm = 0;  // from the circle of equal area about the centroid
  PointMm centroid;
};

ShapeFacts FactsOf(const std::vector<PointMm>& polygon);

// Distance of the tangents at right angles to that direction (radians from +x towards +y).
double WidthAlong(const std::vector<PointMm>& polygon, double direction);

}  // namespace afterscope::phantom

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/point.hpp"
#include "metrics/geometry/outline_model.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Measures of one outline, once for every plausible outline drawn from its model (same order in all of them),
// in square pixels.
struct ShapeDraws {
  std::vector<double> largest;      // largest distance across (Feret)
  std::vector<double> smallest;     // least width (Feret)
  std::vector<double> area;         // square of pixels
  std::vector<double> equivalent;   // diameter of the circle of that area
  std::vector<double> departure;    // largest distance from the best (least-squares) circle
  std::vector<double> circularity;  // 4 pi A / P^2
  std::vector<double> axis_ratio;   // smallest by largest
  std::vector<PointSq> centre;      // of the enclosed area
};
// Without `whole`, only area, equivalent and centre are filled.
ShapeDraws MeasureShape(const OutlineModel& outline, int draws, unsigned seed, bool whole = true);

// One outline's centre seen from another's.
struct Offcentre {
  OffsetSq offset;             // from the reference's centre
  Estimate distance;           // square pixels; low is 0 where the centres can't be told apart; NaN where
                               // a centre is not finite
  bool has_direction = false;  // false: too near for a direction
  double direction_half_width = 0;  // radians, 95 %
};
// Asks for draws of equal number.
Offcentre MeasureOffcentre(const std::vector<PointSq>& centre, const std::vector<PointSq>& reference);

}  // namespace afterscope

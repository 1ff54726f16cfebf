// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// A smooth closed curve round a centre, given by its radius in equally spaced directions (from the x axis
// towards the y axis) and by the change of the radius per radian there. Square pixels.
struct RadialCurve {
  PointSq centre;
  std::vector<double> radii;
  std::vector<double> slopes;

  std::size_t size() const { return radii.size(); }
  OffsetSq Direction(std::size_t i) const;
  PointSq At(std::size_t i) const { return centre + radii[i] * Direction(i); }
  std::vector<PointSq> Points() const;
  // Integrals of the smooth curve by the trapezoidal rule, which is as good as exact for periodic functions;
  // not of the polygon of its points.
  double Area() const;
  double Perimeter() const;
  PointSq Centroid() const;
  // 4 pi A / P^2 (isoperimetric quotient): 1 for a circle.
  double Circularity() const;
  // Radii about another centre, by chords between the points; empty if some direction from there does not
  // meet the curve exactly once.
  std::optional<std::vector<double>> RadiiAbout(PointSq other, int directions) const;
};

}  // namespace afterscope

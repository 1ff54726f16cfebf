// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/true_shape.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace afterscope::phantom {

double WidthAlong(const std::vector<PointMm>& polygon, double direction) {
  const double c = std::cos(direction);
  const double s = std::sin(direction);
  double low = std::numeric_limits<double>::max();
  double high = -low;
  for (const PointMm p : polygon) {
    const double along = p.x * c + p.y * s;
    low = std::min(low, along);
    high = std::max(high, along);
  }
  return high - low;
}

ShapeFacts FactsOf(const std::vector<PointMm>& polygon) {
  ShapeFacts facts;
  double twice_area = 0;
  double moment_x = 0;
  double moment_y = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const PointMm a = polygon[i];
    const PointMm b = polygon[(i + 1) % polygon.size()];
    const double cross = a.x * b.y - b.x * a.y;
    twice_area += cross;
    moment_x += (a.x + b.x) * cross;
    moment_y += (a.y + b.y) * cross;
    facts.perimeter_mm += Distance(a, b);
  }
  facts.centroid = {moment_x / (3 * twice_area), moment_y / (3 * twice_area)};
  facts.area_mm2 = std::abs(twice_area) / 2;
  facts.circularity = 4 * std::numbers::pi * facts.area_mm2 / (facts.perimeter_mm * facts.perimeter_mm);
  facts.equivalent_diameter_mm = std::sqrt(4 * facts.area_mm2 / std::numbers::pi);
  facts.smallest_diameter_mm = std::numeric_limits<double>::max();
  for (int i = 0; i < 720; ++i) {
    const double width = WidthAlong(polygon, i * std::numbers::pi / 720);
    facts.smallest_diameter_mm = std::min(facts.smallest_diameter_mm, width);
    facts.largest_diameter_mm = std::max(facts.largest_diameter_mm, width);
  }
  for (const PointMm p : polygon)
    facts.largest_departure_mm = std::max(
        facts.largest_departure_mm, std::abs(Distance(p, facts.centroid) - facts.equivalent_diameter_mm / 2));
  return facts;
}

}  // namespace afterscope::phantom

// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/polar_shape.hpp"

#include "metrics/phantom/turn.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

constexpr int kDirections = 720;

}  // namespace

double PolarShape::RadiusAt(double angle) const {
  const auto count = static_cast<double>(radii_mm.size());
  double at = angle / kTurn * count;
  at -= std::floor(at / count) * count;
  const auto below = static_cast<std::size_t>(at) % radii_mm.size();
  const std::size_t above = (below + 1) % radii_mm.size();
  const double share = at - std::floor(at);
  return radii_mm[below] + share * (radii_mm[above] - radii_mm[below]);
}

PointMm PolarShape::At(double angle) const {
  const double r = RadiusAt(angle);
  return {centre.x + r * std::cos(angle), centre.y + r * std::sin(angle)};
}

std::vector<PointMm> PolarShape::Polygon() const {
  std::vector<PointMm> points;
  points.reserve(radii_mm.size());
  for (std::size_t i = 0; i < radii_mm.size(); ++i)
    points.push_back(At(kTurn * static_cast<double>(i) / static_cast<double>(radii_mm.size())));
  return points;
}

double PolarShape::LeastRadius() const { return *std::min_element(radii_mm.begin(), radii_mm.end()); }
double PolarShape::LargestRadius() const { return *std::max_element(radii_mm.begin(), radii_mm.end()); }

PolarShape RippledEllipse(PointMm centre, double a_mm, double b_mm, double axis,
                          const std::vector<Ripple>& ripples) {
  PolarShape shape{centre, {}};
  shape.radii_mm.reserve(kDirections);
  for (int i = 0; i < kDirections; ++i) {
    const double angle = kTurn * i / kDirections;
    const double from_axis = angle - axis;
    double r = a_mm * b_mm / std::hypot(b_mm * std::cos(from_axis), a_mm * std::sin(from_axis));
    double factor = 1;
    for (const Ripple& ripple : ripples)
      factor += ripple.cosine * std::cos(ripple.order * from_axis) +
                ripple.sine * std::sin(ripple.order * from_axis);
    shape.radii_mm.push_back(r * factor);
  }
  return shape;
}

PolarShape Scaled(const PolarShape& shape, double factor) {
  PolarShape scaled = shape;
  scaled.centre = {shape.centre.x * factor, shape.centre.y * factor};
  for (double& r : scaled.radii_mm) r *= factor;
  return scaled;
}

}  // namespace afterscope::phantom

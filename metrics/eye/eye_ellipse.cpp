// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_ellipse.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

// The symmetric square root of the symmetric positive definite [a b; b c]; closed form for two by two.
void SquareRoot(double a, double b, double c, EllipseMap& map) {
  const double s = std::sqrt(std::max(a * c - b * b, 1e-12));
  const double t = std::sqrt(std::max(a + c + 2 * s, 1e-12));
  map.xx = (a + s) / t;
  map.xy = b / t;
  map.yy = (c + s) / t;
}

}  // namespace

double EyeEllipse::MeanDiameter() const { return 2 * std::sqrt(half_long * half_short); }

OffsetPx EllipseMap::Normalized(PointPx p) const {
  const double det = xx * yy - xy * xy;
  const OffsetPx d = p - center;
  return {(yy * d.x - xy * d.y) / det, (xx * d.y - xy * d.x) / det};
}

EllipseMap MapOf(const EyeEllipse& e) {
  const double c = std::cos(e.angle.radians()), s = std::sin(e.angle.radians());
  EllipseMap map;
  map.center = e.center;
  map.xx = e.half_long * c * c + e.half_short * s * s;
  map.xy = (e.half_long - e.half_short) * c * s;
  map.yy = e.half_long * s * s + e.half_short * c * c;
  return map;
}

EyeEllipse EllipseOf(const EllipseMap& m) {
  const double mean = 0.5 * (m.xx + m.yy);
  const double half_difference = std::hypot(0.5 * (m.xx - m.yy), m.xy);
  double angle = 0.5 * std::atan2(2 * m.xy, m.xx - m.yy);
  if (angle >= std::numbers::pi / 2) angle -= std::numbers::pi;
  return {m.center, mean + half_difference, mean - half_difference, Angle::Radians(angle)};
}

EllipseMap Adjusted(const EllipseMap& m, double dx, double dy, double s, double p, double q) {
  EllipseMap out;
  out.center = m.At(dx, dy);
  const double u = 1 + s + p, v = q, w = 1 + s - p;
  const double a = m.xx * u + m.xy * v, b = m.xx * v + m.xy * w;
  const double c = m.xy * u + m.yy * v, d = m.xy * v + m.yy * w;
  SquareRoot(a * a + b * b, a * c + b * d, c * c + d * d, out);
  return out;
}

EyeEllipse Enlarged(const EyeEllipse& e, double factor) {
  return {{(e.center.x + 0.5) * factor - 0.5, (e.center.y + 0.5) * factor - 0.5},
          e.half_long * factor,
          e.half_short * factor,
          e.angle};
}

}  // namespace afterscope

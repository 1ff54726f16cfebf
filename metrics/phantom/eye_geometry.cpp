// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/eye_geometry.hpp"

#include <cmath>
#include <numbers>

namespace afterscope::phantom {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;
constexpr double kAqueousIndex = 1.336;

}  // namespace

double EyeGeometry::Magnification(double depth_mm) const {
  return 1.0 / (1.0 - depth_mm * 1e-3 * corneal_power_d / kAqueousIndex);
}

// Counter-clockwise from the dial to the picture: 270 - seat, so that the seat's meridian is at the bottom.
double EyeGeometry::PictureAngle(double dial_deg) const { return -(dial_deg + 270.0 - seat_deg) * kDegree; }

double EyeGeometry::DialDegrees(double picture_angle) const {
  const double degrees = -picture_angle / kDegree - 270.0 + seat_deg;
  return degrees - 360.0 * std::floor(degrees / 360.0);
}

PolarShape EyeGeometry::Limbus() const {
  // The sine terms are lopsidedness * sin^3: no slope and no height at 0 and 180 degrees, so that the
  // horizontal diameter stays what it was told to be; the cosine takes from one side what it gives to the
  // other.
  const double e = lopsidedness;
  const std::vector<Ripple> ripples = {{1, 0, 0.75 * e}, {3, 0.4 * e, -0.25 * e}};
  return RippledEllipse({0, 0}, corneal_diameter_mm / 2, corneal_height_mm / 2, PictureAngle(0), ripples);
}

PointSq Placement::Of(PointMm p, double magnification) const {
  const double k = px_per_mm * magnification;
  const double c = std::cos(turn);
  const double s = std::sin(turn);
  return {origin.x + k * (c * p.x - s * p.y), origin.y + k * (s * p.x + c * p.y)};
}

PointMm Placement::Back(PointSq p, double magnification) const {
  const double k = px_per_mm * magnification;
  const double c = std::cos(turn);
  const double s = std::sin(turn);
  const double x = p.x - origin.x;
  const double y = p.y - origin.y;
  return {(c * x + s * y) / k, (-s * x + c * y) / k};
}

std::array<double, 6> Placement::Matrix(double magnification) const {
  const double k = px_per_mm * magnification;
  const double c = k * std::cos(turn);
  const double s = k * std::sin(turn);
  return {c, -s, origin.x, s, c, origin.y};
}

}  // namespace afterscope::phantom

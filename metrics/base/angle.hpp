// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <compare>
#include <numbers>

namespace afterscope {

// An angle; radians are the exact representation. Not wrapped unless a function says so.
class Angle {
 public:
  constexpr Angle() = default;
  static constexpr Angle Radians(double radians) { return Angle(radians); }
  static constexpr Angle Degrees(double degrees) { return Angle(degrees * std::numbers::pi / 180.0); }

  constexpr double radians() const { return radians_; }
  constexpr double degrees() const { return radians_ * 180.0 / std::numbers::pi; }

  friend constexpr Angle operator+(Angle a, Angle b) { return Angle(a.radians_ + b.radians_); }
  friend constexpr Angle operator-(Angle a, Angle b) { return Angle(a.radians_ - b.radians_); }
  friend constexpr Angle operator*(double k, Angle a) { return Angle(k * a.radians_); }
  friend constexpr auto operator<=>(Angle, Angle) = default;

 private:
  explicit constexpr Angle(double radians) : radians_(radians) {}
  double radians_ = 0;
};

// The same direction in [0, 360) degrees.
inline Angle WrappedDirection(Angle a) {
  const double wrapped = std::fmod(a.degrees(), 360.0);
  const double positive = wrapped < 0 ? wrapped + 360.0 : wrapped;
  return Angle::Degrees(positive >= 360.0 ? 0.0 : positive);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/orientation.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// Counter-clockwise turn from the dial to what the surgeon saw.
Angle ScreenFromDialTurn(const EyeOrientation& o) { return Angle::Degrees(270) - o.seat; }

}  // namespace

Angle DialFromClockHour(double hour) { return WrappedDirection(Angle::Degrees(90 - 30 * hour)); }

double ClockHourFromDial(Angle direction) {
  const double hour = WrappedDirection(Angle::Degrees(90) - direction).degrees() / 30;
  return hour <= 0 ? 12 : hour;
}

Angle MeridianOf(Angle direction) {
  const double d = std::fmod(WrappedDirection(direction).degrees(), 180.0);
  return Angle::Degrees(d);
}

Angle DirectionDifference(Angle a, Angle b) {
  const double d = WrappedDirection(a - b).degrees();
  return Angle::Degrees(std::min(d, 360 - d));
}

Angle MeridianDifference(Angle a, Angle b) {
  const double d = MeridianOf(a - b).degrees();
  return Angle::Degrees(std::min(d, 180 - d));
}

Angle TemporalDirection(bool right_eye) { return Angle::Degrees(right_eye ? 180 : 0); }

Angle DialFromPicture(const EyeOrientation& o, OffsetSq offset) {
  if (offset.x == 0 && offset.y == 0) return Angle{};
  Angle a = Angle::Radians(std::atan2(-offset.y, offset.x)) - Angle::Degrees(o.rotation_deg);
  if (o.mirrored) a = Angle::Degrees(180) - a;
  return WrappedDirection(a + Angle::Degrees(o.turned_deg) - ScreenFromDialTurn(o));
}

OffsetSq PictureFromDial(const EyeOrientation& o, Angle direction) {
  Angle a = direction + ScreenFromDialTurn(o) - Angle::Degrees(o.turned_deg);
  if (o.mirrored) a = Angle::Degrees(180) - a;
  a = a + Angle::Degrees(o.rotation_deg);
  return {std::cos(a.radians()), -std::sin(a.radians())};
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/angle.hpp"
#include "metrics/base/point.hpp"

namespace afterscope {

// Directions at the eye are angles on the graduated dial of ISO 8429: as seen by someone who faces the eye, 0
// degrees to that person's right, counter-clockwise, 90 degrees up; the same for both eyes. Clock hours are
// those of a clock face seen the same way.

// 12 -> 90, 3 -> 0, 9 -> 180 degrees; any real hour.
Angle DialFromClockHour(double hour);
// In (0, 12].
double ClockHourFromDial(Angle direction);
// The meridian (axis) of a direction, in [0, 180) degrees.
Angle MeridianOf(Angle direction);
// Between two directions, in [0, 180] degrees.
Angle DirectionDifference(Angle a, Angle b);
// Between two meridians, in [0, 90] degrees.
Angle MeridianDifference(Angle a, Angle b);
// Where the ear is: 180 degrees for a right eye, 0 for a left one.
Angle TemporalDirection(bool right_eye);

// How a recording shows the eye. Undoing, from the decoded picture: turned clockwise for display, then
// mirrored back, then turned back to what the surgeon saw, at whose bottom lies the meridian of the seat.
struct EyeOrientation {
  Angle seat = Angle::Degrees(90);  // dial direction of the surgeon's seat; 90: at the head
  int rotation_deg = 0;             // the recording's own, clockwise for display
  bool mirrored = false;            // left and right swapped in the recording
  double turned_deg = 0;            // the recording turned clockwise against what the surgeon saw
};

// Dial direction of an offset in the decoded picture (square pixels, y down), in [0, 360) degrees; 0 for no
// offset.
Angle DialFromPicture(const EyeOrientation& orientation, OffsetSq offset);
// The offset of length one that points in a dial direction.
OffsetSq PictureFromDial(const EyeOrientation& orientation, Angle direction);

}  // namespace afterscope

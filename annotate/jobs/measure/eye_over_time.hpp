// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct TimedValue {
  double seconds = 0;  // of the case clock
  double value = 0;
  friend bool operator==(const TimedValue&, const TimedValue&) = default;
};

// A quantity of the eye over the case.
struct EyeCourse {
  std::string unit;  // "mm"; "px" where the case has no scale: of the picture, at the zoom of the reference
                     // frame
  // Stretches through which the eye was followed, in order of time; between them nothing is known, and
  // nothing may be drawn.
  std::vector<std::vector<TimedValue>> runs;
  double own_error = 0;    // half of the 95 % limits of a usual value, less what the scale adds; in `unit`
  double scale_error = 0;  // that of the scale: by which the whole curve may be off alike, as a share
  std::optional<double> limit;  // beyond which the eye counts as off-centre, where it is the same throughout

  bool Empty() const { return runs.empty(); }
  TimedValue First() const { return runs.front().front(); }  // of one that is not empty
  TimedValue Last() const { return runs.back().back(); }
};

// What lies behind the findings `pupil.followed_least`, `pupil.step_least` and `eye.off_centre`, over time.
struct EyeOverTime {
  EyeCourse pupil;       // mean diameter; true lengths in the plane of the front capsule
  EyeCourse off_centre;  // from the limbus' centre to the middle of the picture; plane: cornea
  bool outside_scale =
      false;  // some values have a scale that was taken at another zoom, for all that is known
  bool zoom_followed = false;  // the zoom changed; the change is taken out
};

// From what holds of `followed`. A pupil's curve breaks where it was not found for a second, the other where
// the eye's place was not trusted for half a second, and both between recordings. At most five values a
// second. Nothing followed: no runs.
EyeOverTime EyeOverTimeOf(const CaseRecord& record, const Review& review, const MeasureOptions& options,
                          const Followed& followed);

}  // namespace afterscope

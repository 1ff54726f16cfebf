// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/followed.hpp"
#include "annotate/jobs/measure/eye_over_time.hpp"
#include "app/desktop/timeline/quiet_line.hpp"

namespace afterscope {

// What was found of the eye and of tips on their way through the recordings, as quiet lines. Pure.

// The pupil's diameter and the eye's distance from the middle of the picture, as in the report: a pupil's
// scale begins at its smallest value.
inline constexpr const char* kPupilLine = "pupil";
QuietSeries PupilLine(const EyeOverTime& eye);
QuietSeries OffCentreLine(const EyeOverTime& eye);
// How far the followed tips are believed, 0 to 1; points set by hand count 1.
inline constexpr const char* kTrustLine = "followed tip, trust";
QuietSeries TrustOverTime(const Followed& followed, const CaseClock& clock);

}  // namespace afterscope

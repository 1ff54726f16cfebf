// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/followed.hpp"
#include "app/desktop/timeline/quiet_line.hpp"

namespace afterscope {

// What was found of the eye on its way through the recordings, as quiet lines. Pure. Only sights that are
// trusted count; where none is for a second, nothing is known.

// The pupil's mean diameter by the limbus's, which does not change with the microscope's zoom.
QuietSeries PupilOverTime(const Followed& followed, const CaseClock& clock);
// How far the limbus's centre is from the picture's, in picture heights.
QuietSeries OffCentreOverTime(const Followed& followed, const CaseRecord& record, const CaseClock& clock);
// How far the followed tips are believed, 0 to 1; points set by hand count 1.
inline constexpr const char* kTrustLine = "followed tip, trust";
QuietSeries TrustOverTime(const Followed& followed, const CaseClock& clock);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/followed.hpp"
#include "annotate/jobs/follow/trail_memory.hpp"
#include "annotate/media/recording.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

namespace afterscope {

// What following one trail through one recording goes by.
struct TrailTask {
  const Trail* trail = nullptr;
  int recording = 0;
  HalfOpen<Pts> range;
  const FollowedEye* eye = nullptr;  // none: the picture is taken for the eye's frame
  double px_per_mm = 20;             // square pixels, in the plane of the limbus, where there is no eye
};

// Puts away what was looked at so far; an error ends the work.
using KeepTrailMemory = std::function<Status(const TrailMemory&)>;
// Sees a picture on which the tip was looked for, and where it probably is, if anywhere.
using WatchTip = std::function<void(const Picture&, std::optional<PointPx>)>;

// What is called while a trail is followed; each may be empty.
struct TrailCalls {
  KeepTrailMemory keep;  // now and then
  WatchTip watch;
};

// Follows the instrument's tip between and beyond the hand-set points in the range. Frames in gaps that were
// marked by hand are passed over. `memory` holds what was looked at earlier and gets what is looked at now;
// `keep` (may be empty) is called with it now and then. Errors: kNotComputable without a hand-set point in
// the range; kStopped (`memory` keeps what was done); what reading the recording says.
Result<FollowedTrail> FollowTrail(Recording& recording, const TrailTask& task, TrailMemory& memory,
                                  const Progress& progress, const StopQuery& stop,
                                  const TrailCalls& calls = {});

// Indices in `followed.tips` of the frames that a person should look at, the least believed first.
std::vector<std::size_t> DoubtfulTips(const FollowedTrail& followed, std::size_t most);
// Share of the frames with a place that is believed; those set by hand count.
double BelievedShare(const FollowedTrail& followed);

}  // namespace afterscope

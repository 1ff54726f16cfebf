// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/followed.hpp"

#include <cstddef>
#include <vector>

namespace afterscope {

// Frames one after another of which the same is true.
struct FrameRun {
  HalfOpen<FrameRef> range;  // to the next frame, or the end of what was followed
  std::size_t frames = 0;
  double seconds = 0;
};

// Where the trail has no place that is believed and none that was set by hand; in order of time.
std::vector<FrameRun> RunsWithoutTip(const FollowedTrail& followed, const CaseClock& clock);
// Where the eye was lost: its pose is not trusted.
std::vector<FrameRun> RunsWithoutEye(const FollowedEye& eye, const CaseClock& clock);
// Those of most frames (of equal ones the earlier), in order of time.
std::vector<FrameRun> LongestRuns(const std::vector<FrameRun>& runs, std::size_t most);

}  // namespace afterscope

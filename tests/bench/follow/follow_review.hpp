// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/trail_follower.hpp"
#include "tests/bench/follow/follow_clip.hpp"

#include <array>
#include <ostream>
#include <string>
#include <vector>

namespace afterscope::testing {

// Why the follower was off where the reviewer had to set a point: the first of these that holds.
enum class Miss {
  kGivenUp,     // said not to be seen, though it is
  kOtherTool,   // on another instrument
  kFocusLost,   // blurred by more than a pixel
  kLeaving,     // within half a second of being out of the picture
  kInexact,     // off by no more than twice what is allowed
  kAlongShaft,  // on the own shaft, but not at its tip
  kFast,        // faster than 8 mm/s
  kElsewhere,
};
inline constexpr std::size_t kMisses = 8;
const char* NameOf(Miss miss);

// What it took to keep the tip within 0.15 mm in 95 % of the frames in which it can be seen.
struct FollowEffort {
  int points = 0;                       // set by hand, the first included
  double kept = 0;                      // share within 0.15 mm at the end
  double believed = 0;                  // share of visible frames that the follower believes
  double wrong = 0;                     // share of those that are off by more than 0.3 mm
  double seconds_a_frame = 0;           // of the processor, for Look
  double solve_seconds = 0;             // of the processor, for one Solve of all frames
  double prepare_seconds = 0;           // of the processor, for the ground and for learning
  std::array<int, kMisses> misses{};    // by cause, of the points after the first
  std::optional<double> path_error;     // share by which the path is too long, over the believed stretches
  std::vector<FollowedPoint> followed;  // as they were at the end
};
// A reviewer who knows the truth, and clicks with an error of 1 pixel at 640 x 480 (standard deviation, each
// axis): first in the middle of the stretch; then, as long as too many frames are off, in the middle of the
// run of wrong frames that holds the least-believed wrong one.
FollowEffort ReviewFollower(const FollowClip& clip, const FollowOptions& options, int most_points = 60);
// The reviewer of `verify`, who knows nothing of where the follower is wrong: a point every four seconds and
// in the last frame, then in two rounds the two frames that the follower itself believes least. Off by 1.5
// pixels each, and by 1 pixel all alike. With `rows`, what was found on each frame in each round is added to
// them.
FollowEffort ReviewEvenly(const FollowClip& clip, const FollowOptions& options, std::ostream* rows = nullptr);

// The same reviewer with a tracker of OpenCV's, which can only go forwards: set anew after three frames off.
enum class Tracker { kLucasKanade, kCsrt };
FollowEffort ReviewTracker(const FollowClip& clip, Tracker tracker);

// Length of the followed path against that of the true motion within the same band, over the stretches that
// are believed, in the eye's own frame: share by which it is too long. None where nothing can be measured.
std::optional<double> PathError(const FollowClip& clip, const std::vector<FollowedPoint>& points,
                                double least_confidence);

}  // namespace afterscope::testing

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/trail_follower.hpp"

#include <cstdint>
#include <vector>

namespace afterscope::testing {

// One instrument of a rendered operation, from coming into the eye to leaving it, and what a follower may
// know: pictures, times, and the eye as the eye finder sees it in the first picture. The truth is for the
// reviewer alone.
struct FollowClip {
  std::uint64_t seed = 0;
  int difficulty = 0;             // 0 easy, 1 usual, 2 hard
  std::vector<cv::Mat> pictures;  // lightness
  std::vector<double> seconds;
  double px_per_mm = 0;
  PointPx eye;
  std::vector<PointPx> true_tips;
  std::vector<bool> visible;  // the true tip lies in the picture
  double true_px_per_mm = 0;
};
FollowClip RenderClip(std::uint64_t seed, int difficulty, std::size_t most_frames);

// What it took to keep the tip within 0.15 mm in 95 % of the frames in which it can be seen.
struct FollowEffort {
  int points = 0;              // set by hand, the first included
  double kept = 0;             // share within 0.15 mm at the end
  double believed = 0;         // share of visible frames that the follower believes
  double wrong = 0;            // share of those that are off by more than 0.3 mm
  double seconds_a_frame = 0;  // of the processor, for Look and Solve
};
// A reviewer who knows the truth, and clicks with an error of 1 pixel (standard deviation, each axis): first
// in the middle of the stretch; then, as long as too many frames are off, in the middle of the run of wrong
// frames that holds the least-believed wrong one.
FollowEffort ReviewFollower(const FollowClip& clip, const FollowOptions& options, int most_points = 60);

// The same reviewer with a tracker of OpenCV's, which can only go forwards: set anew after three frames off.
enum class Tracker { kLucasKanade, kCsrt };
FollowEffort ReviewTracker(const FollowClip& clip, Tracker tracker);

}  // namespace afterscope::testing

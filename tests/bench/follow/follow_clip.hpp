// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_motion.hpp"
#include "metrics/phantom/phantom.hpp"

#include <opencv2/core.hpp>

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace afterscope::testing {

// Which stretch of which invented operation is rendered.
struct ClipPlan {
  std::uint64_t seed = 0;
  phantom::Difficulty difficulty = phantom::Difficulty::kUsual;
  std::size_t most_frames = 600;
  double frames_per_second = 30;
  double enlarged = 1;    // 1: 640 x 480
  bool restless = false;  // the eye wanders by 2 mm, and the zoom changes by 1.4 within the stretch
  bool forceps = false;   // else any instrument that stays for over five seconds
};

// One instrument of a rendered operation, from coming into the eye to leaving it. What a follower may know:
// pictures, times, and the eye as the eye finder sees it in the first picture and the eye's motion from there
// on. The rest is truth, for the reviewer alone.
struct FollowClip {
  ClipPlan plan;
  std::vector<cv::Mat> pictures;  // lightness
  std::vector<double> seconds;
  double px_per_mm = 0;  // by the found limbus and the mean cornea
  PointPx eye;
  std::vector<EyePose> poses;  // between those that were trusted
  std::vector<bool> eye_seen;  // the frame's own pose was trusted

  struct Shaft {
    PointPx tip, towards_hand;
  };
  struct Truth {
    Shaft shaft;
    std::vector<Shaft> others;  // other instruments in view
    bool visible = false;       // the tip lies in the picture
    double blur_px = 0;
    double speed_mm_s = 0;  // of the tip
    phantom::Placement eye;
  };
  std::vector<Truth> truth;
  double true_px_per_mm = 0;
  std::shared_ptr<const phantom::Phantom> phantom;
  phantom::ToolUse use;
};

FollowClip RenderClip(const ClipPlan& plan);
// The same, put away in a folder (which exists) and taken from there the next time.
FollowClip KeptClip(const ClipPlan& plan, const std::string& folder);
// The same without pictures and without the eye's motion.
FollowClip ClipTruth(const ClipPlan& plan);

}  // namespace afterscope::testing

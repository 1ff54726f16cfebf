// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/phantom/phantom_truth.hpp"

#include <vector>

namespace afterscope {

// Over which of the phantom's seconds what was followed is measured. A finding says what was while the tip
// was seen and the eye was followed; the truth is taken over the same time.
struct FollowedTime {
  std::vector<HalfOpen<double>> path;  // of the tip: first and last place of each stretch
  std::vector<HalfOpen<double>> zone;  // the same, where its place in the limbus is known
  struct Eye {
    int recording = 0;
    std::vector<double> seconds;        // of the frames on which its place is trusted
    std::vector<double> pupil_seconds;  // of the sights on which limbus and pupil are
  };
  std::vector<Eye> eyes;
  double zone_share = 0;  // of the limbus' radius, that the tip is asked to stay within
};

// What is true of the forceps' tip, of its grasps and of the eye that moves. Not known to a phantom, and so
// left out:
// - eye.focus_share: it counts by a measure of sharpness, and where 0.75 of that is left depends on
//   it (CheckEye asks of single sights whether blurred ones are told from sharp ones);
// - eye.followed_share, path.seen_share, path.time_marked, path.not_visible: of what was followed, not of the
//   eye;
// - rhexis.uncertain_share: of the marks, in how many directions they leave it open.
std::vector<TrueValue> TrueFollowed(const phantom::Phantom& phantom, const WhoOperates& who,
                                    const FollowedTime& time, const PathBand& band);

}  // namespace afterscope

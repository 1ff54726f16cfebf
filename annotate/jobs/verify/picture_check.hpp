// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/followed.hpp"
#include "annotate/jobs/phantom/phantom_recording.hpp"
#include "metrics/phantom/phantom.hpp"

#include <string>
#include <vector>

namespace afterscope {

// How far what was found in the pictures of a phantom is from the truth, over all frames, against the most
// (or least) that is accepted.
struct PictureCheck {
  std::string what;
  double value = 0;
  double limit = 0;
  bool at_least = false;  // else at most
  std::string unit;
  std::size_t frames = 0;  // that it was taken from
  bool passed() const { return frames > 0 && (at_least ? value >= limit : value <= limit); }
};

// Of the eye that was found and followed: limbus and pupil on the frames on which they are trusted, the eye's
// motion and the zoom against the reference frame, and whether focus is told from blur.
std::vector<PictureCheck> CheckEye(const phantom::Phantom& phantom, const PhantomFrames& frames,
                                   const FollowedEye& eye);

// Of the forceps' tip that was followed.
std::vector<PictureCheck> CheckTip(const phantom::Phantom& phantom, const PhantomFrames& frames,
                                   const FollowedTrail& trail);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/followed.hpp"
#include "metrics/base/point.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// Where the eye's frame was in one recording, on the case clock. Keeps a reference to the followed eye.
class EyeTrack {
 public:
  EyeTrack(const FollowedEye& eye, const CaseClock& clock);

  const FollowedEye& eye() const { return eye_; }
  // Interpolated between trusted frames that are at most half a second apart; over frames that are not
  // trusted only where the eye is then where it was. None where the eye was not followed.
  std::optional<EyePose> At(double seconds) const;
  // Median zoom within a third of a second; none where the eye was not followed.
  std::optional<double> ZoomAt(double seconds) const;
  const std::vector<ZoomChange>& ZoomChanges() const { return changes_; }
  // Where a point of the picture at that time lies in the eye's frame: square pixels of the reference frame.
  std::optional<PointSq> InEye(PointSq p, double seconds) const;

 private:
  const FollowedEye& eye_;
  std::vector<TimedPose> trusted_;
  std::vector<bool> joined_;  // by trusted frame: interpolated from the one before
  std::vector<ZoomChange> changes_;
};

}  // namespace afterscope

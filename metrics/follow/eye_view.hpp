// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_motion.hpp"
#include "metrics/follow/eye_ground.hpp"
#include "metrics/follow/tip_patch.hpp"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace afterscope {

// The frames of a stretch as a follower sees them: pictures made as small as it needs, without what lies
// behind the instruments; places there ("in view") and in the eye's frame, both in pixels of such a picture.
class EyeView {
 public:
  // As TrailFollower.
  EyeView(std::vector<double> seconds, double px_per_mm, PointPx eye, std::vector<EyePose> poses);

  std::size_t size() const { return seconds_.size(); }
  double SecondsAt(std::size_t index) const { return seconds_[index]; }
  const std::vector<double>& seconds() const { return seconds_; }
  double px_per_mm() const { return px_per_mm_; }
  PointPx eye() const { return eye_; }
  // How much larger a frame shows the eye than px_per_mm says.
  double ZoomAt(std::size_t index) const { return poses_.empty() ? 1 : poses_[index].zoom; }

  std::vector<std::size_t> GroundFrames() const { return ground_.Frames(); }
  void AddGround(std::size_t index, const cv::Mat& picture);
  bool HasGround(std::size_t index) const { return !ground_.At(index).empty(); }
  void FinishGround() { ground_.Finish(); }

  // picture: as recorded, CV_8UC1. May share its memory.
  cv::Mat Small(const cv::Mat& picture) const;
  // A small picture of a frame without what lies behind the instruments; without a ground as it is.
  cv::Mat AgainstGroundOf(std::size_t index, const cv::Mat& small) const;

  // A small picture of a frame in the eye's frame: kStillMm to either side of the eye's middle; beyond the
  // picture its edge goes on. And a pose in the eye's frame there, and back.
  cv::Mat StillOf(std::size_t index, const cv::Mat& small) const;
  TipPose ToStill(const TipPose& in_eye) const;
  TipPose FromStill(const TipPose& in_still) const;
  double StillPxPerMm() const { return std::min(kStillPxPerMm, px_per_mm_); }

  PointPx FromPicture(PointPx p) const { return {(p.x + 0.5) / factor_ - 0.5, (p.y + 0.5) / factor_ - 0.5}; }
  PointPx ToPicture(PointPx p) const { return {(p.x + 0.5) * factor_ - 0.5, (p.y + 0.5) * factor_ - 0.5}; }
  TipPose InEye(std::size_t index, const TipPose& in_view) const;
  TipPose InView(std::size_t index, const TipPose& in_eye) const;

 private:
  static constexpr double kStillPxPerMm = 16, kStillMm = 6.5;
  PointPx StillMiddle() const { return {kStillMm * StillPxPerMm(), kStillMm * StillPxPerMm()}; }
  cv::Matx23d ViewFromEye(std::size_t index) const;

  std::vector<double> seconds_;
  int factor_;
  double px_per_mm_;
  PointPx eye_;
  std::vector<EyePose> poses_;  // in view
  EyeGround ground_;
};

}  // namespace afterscope

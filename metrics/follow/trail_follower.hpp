// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_motion.hpp"
#include "metrics/follow/tip_looks.hpp"
#include "metrics/follow/tip_route.hpp"

#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace afterscope {

struct FollowOptions {
  TipLookOptions looks;
  RouteOptions route;
  double reach_mm = 0.8;          // round a hand-set point the tip is looked for within this ...
  double reach_mm_s = 18;         // ... growing by this with the time to it ...
  double most_reach_mm = 6.5;     // ... up to this, then about the eye's centre
  double turn_deg = 30;           // the shaft may differ by this from between the hand-set points
  double noise_mm = 0.06;         // usual error of one frame's place, for smoothing
  double least_confidence = 0.8;  // below it a point is not believed
};

// One frame of a followed trail.
struct FollowedPoint {
  std::optional<TipPose> pose;  // none: the tip is not seen there, by this account
  bool by_hand = false;
  double likeness = 0;
  double margin = 0;      // RoutePoint
  double confidence = 0;  // 0 to 1; of a frame without pose: that the tip can't be seen
};

// Follows one instrument through the frames of one stretch of recording, between and beyond points set by
// hand.
//
// Use: SetByHand for one frame or more; then Look at every frame that FramesToLookAt names, in any order;
// then Solve. A later SetByHand names only the frames anew that it changes. Look may run in several threads
// for different frames; nothing else may run beside it.
class TrailFollower {
 public:
  // seconds: of each frame, rising. px_per_mm: in the plane of the limbus (taken as 2 if less). eye: where
  // the limbus' centre is. poses: where the eye is on each frame against one on which it is at `eye` and
  // px_per_mm holds; empty: there on all of them. The tip is followed in the eye's frame.
  TrailFollower(std::vector<double> seconds, double px_per_mm, PointPx eye, FollowOptions options = {},
                std::vector<EyePose> poses = {});

  // picture: of frame `index`, CV_8UC1. Without a direction the shaft is found, near the one known from other
  // points if there are any. Setting a frame again replaces it. A frame that is none, no picture or a place
  // that is no number is ignored.
  void SetByHand(std::size_t index, const cv::Mat& picture, PointPx tip, std::optional<Angle> shaft = {});
  std::vector<std::size_t> FramesToLookAt() const;
  void Look(std::size_t index, const cv::Mat& picture);
  std::vector<FollowedPoint> Solve() const;

  // What Look found on a frame (in the eye's frame), to be kept and put back when the work goes on later;
  // none: not looked at since the last change round it.
  std::optional<std::vector<TipCandidate>> Seen(std::size_t index) const;
  void PutBack(std::size_t index, std::vector<TipCandidate> candidates);
  // The hand-set frames on either side, none at an end: what a frame's candidates depend on.
  std::pair<std::optional<std::size_t>, std::optional<std::size_t>> HandsAround(std::size_t index) const;

  std::size_t size() const { return seconds_.size(); }
  std::size_t set_by_hand() const { return hand_.size(); }

 private:
  struct Hand {
    TipPose pose;      // in the eye's frame
    std::size_t look;  // index in looks_
  };
  using Hands = std::map<std::size_t, Hand>;

  // A candidate's place made exact by the hand-set looks on either side, each counting the more the nearer it
  // is; its likeness falls by how badly they fit.
  void MakeExact(std::size_t index, const cv::Mat& picture, TipCandidate& candidate) const;
  TipRegion RegionOf(std::size_t index) const;  // in the eye's frame
  TipPose InEye(std::size_t index, TipPose in_picture) const;
  TipPose InPicture(std::size_t index, TipPose in_eye) const;
  TipRegion InPicture(std::size_t index, TipRegion in_eye) const;
  double ZoomOf(std::size_t index) const { return poses_.empty() ? 1 : poses_[index].zoom; }
  std::vector<std::size_t> LooksFor(std::size_t index) const;
  double SecondsToHand(std::size_t index) const;
  std::size_t StretchOf(std::size_t index) const;  // the hand-set frame at which it ends, or size()

  std::vector<double> seconds_;
  double px_per_mm_;
  PointPx eye_;
  FollowOptions options_;
  std::vector<EyePose> poses_;
  TipLooks looks_;
  Hands hand_;
  std::map<std::size_t, TipFilter> filters_;  // by stretch
  std::vector<std::vector<TipCandidate>> candidates_;
  std::vector<char> looked_;  // not vector<bool>: written from several threads
};

}  // namespace afterscope

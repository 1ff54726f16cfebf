// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_looks.hpp"
#include "metrics/follow/tip_route.hpp"

#include <map>
#include <optional>
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
  // the limbus' centre is.
  TrailFollower(std::vector<double> seconds, double px_per_mm, PointPx eye, FollowOptions options = {});

  // picture: of frame `index`, CV_8UC1. Without a direction the shaft is found, near the one known from other
  // points if there are any. Setting a frame again replaces it. A frame that is none, no picture or a place
  // that is no number is ignored.
  void SetByHand(std::size_t index, const cv::Mat& picture, PointPx tip, std::optional<Angle> shaft = {});
  std::vector<std::size_t> FramesToLookAt() const;
  void Look(std::size_t index, const cv::Mat& picture);
  std::vector<FollowedPoint> Solve() const;

  std::size_t size() const { return seconds_.size(); }
  std::size_t set_by_hand() const { return hand_.size(); }

 private:
  struct Hand {
    TipPose pose;
    std::size_t look;  // index in looks_
  };
  using Hands = std::map<std::size_t, Hand>;

  TipRegion RegionOf(std::size_t index) const;
  std::vector<std::size_t> LooksFor(std::size_t index) const;
  double SecondsToHand(std::size_t index) const;
  std::size_t StretchOf(std::size_t index) const;  // the hand-set frame at which it ends, or size()

  std::vector<double> seconds_;
  double px_per_mm_;
  PointPx eye_;
  FollowOptions options_;
  TipLooks looks_;
  Hands hand_;
  std::map<std::size_t, TipFilter> filters_;  // by stretch
  std::vector<std::vector<TipCandidate>> candidates_;
  std::vector<char> looked_;  // not vector<bool>: written from several threads
};

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_patch.hpp"

#include <cmath>
#include <numbers>

namespace afterscope {

// The mean of several poses near one, each with a weight.
class MeanPose {
 public:
  explicit MeanPose(const TipPose& near) : near_(near) {}
  void Add(const TipPose& pose, double weight) {
    shift_ = shift_ + weight * (pose.tip - near_.tip);
    turn_ += weight * std::remainder((pose.shaft - near_.shaft).radians(), 2 * std::numbers::pi);
    sum_ += weight;
  }
  TipPose Mean() const {
    if (!(sum_ > 0)) return near_;
    return {near_.tip + shift_ / sum_, near_.shaft + Angle::Radians(turn_ / sum_)};
  }

 private:
  TipPose near_;
  OffsetPx shift_;
  double turn_ = 0, sum_ = 0;
};

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_patch.hpp"

#include <array>
#include <cstddef>

namespace afterscope {

struct FoundShaft {
  Angle shaft;       // from the tip towards the hand
  double trust = 0;  // 0 to 1: how much of the picture behind the tip is a straight band that ends at the tip
};
inline constexpr double kLeastShaftTrust = 0.25;

// The direction of the instrument whose tip is at `tip`: where a band symmetric about its axis runs from
// there and does not go on past the tip. picture: CV_8UC1; px_per_mm: in the plane of the limbus, positive.
// Trust 0 where the tip lies outside the picture.
FoundShaft FindShaft(const cv::Mat& picture, PointPx tip, double px_per_mm);
// The same among directions within `span` of `near`.
FoundShaft FindShaftNear(const cv::Mat& picture, PointPx tip, double px_per_mm, Angle near, Angle span);

// How much each direction looks like such a shaft, 0 to 1: 0, kShaftStepDeg, ... degrees. All 0 where the tip
// lies outside the picture.
inline constexpr int kShaftStepDeg = 3;
using ShaftScores = std::array<double, 360 / kShaftStepDeg>;
// The place in them nearest to a direction, so many steps on.
std::size_t ShaftStepOf(Angle direction, int steps_on = 0);
ShaftScores ScoreShafts(const cv::Mat& picture, PointPx tip, double px_per_mm);

}  // namespace afterscope

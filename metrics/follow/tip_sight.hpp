// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_template.hpp"

#include <opencv2/core.hpp>

#include <array>

namespace afterscope {

// One way of seeing an instrument's end: the light freed of that of the surroundings (a Gaussian of this
// standard deviation), and how wide a piece of the shaft is compared. Thin shafts want a narrow look that
// shows little of what lies behind them, open forceps a wide one.
struct TipSight {
  double surroundings_mm;
  TipTemplateWidth width;
};
inline constexpr std::array<TipSight, 2> kTipSights{TipSight{0.25, {0.3, 0.15}}, TipSight{0.5, {0.8, 0.4}}};
template <typename T>
using OfEachSight = std::array<T, kTipSights.size()>;

// A picture (CV_8UC1) seen so: 100 where it is as light as its surroundings. CV_8UC1.
cv::Mat FreedOfLight(const cv::Mat& picture, const TipSight& sight, double px_per_mm);

}  // namespace afterscope

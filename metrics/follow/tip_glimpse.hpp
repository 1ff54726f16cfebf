// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_patch.hpp"

#include <array>
#include <cstdint>

namespace afterscope {

// The end of an instrument in a few numbers, turned with its shaft and freed of light and contrast: enough to
// tell whether two frames show the same end of the same instrument.
struct TipGlimpse {
  static constexpr int kColumns = 16, kRows = 9;
  // Row by row, mean 0, the root mean square kUnit; all 0 where the picture is flat or was not looked at.
  static constexpr double kUnit = 40;
  std::array<std::int8_t, static_cast<std::size_t>(kColumns) * kRows> values{};
};

// Of the tip at `pose`. picture: CV_8UC1; px_per_mm: of it at the tip, positive.
TipGlimpse GlimpseOf(const cv::Mat& picture, const TipPose& pose, double px_per_mm);

// Correlation, -1 to 1; 1 where one of the two is flat: nothing tells them apart.
double Likeness(const TipGlimpse& a, const TipGlimpse& b);

}  // namespace afterscope

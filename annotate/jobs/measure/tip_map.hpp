// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Where a tip was during one step, laid over the eye as it lies on one frame; all positions in square pixels
// of it.
struct TipMap {
  TrailId trail;
  std::string step;
  FrameRef at;         // the place of the tip nearest to the middle of its time in the step
  double seconds = 0;  // that the map holds
  // The smallest regions that hold kTipMapShares of that time, the smallest share first; what lies within an
  // odd number of its closed outlines is inside.
  struct Region {
    double share = 0;
    std::vector<std::vector<PointSq>> outlines;
  };
  std::vector<Region> regions;
  std::vector<std::vector<PointSq>> ways;  // the tip's own, an unbroken stretch each
  std::vector<PointSq> limbus;             // closed
};

inline constexpr double kTipMapShares[] = {0.5, 0.75, 0.95};
// What each place is spread by (standard deviation), as a share of the limbus' radius: 0.3 mm, which is what
// a place may be off by; the same in all maps, so that they can be compared.
inline constexpr double kTipMapSpread = 0.05;
inline constexpr double kLeastTipMapSeconds = 1;

// One for each trail, step and recording in which the tip was seen for kLeastTipMapSeconds or longer and the
// eye's place is known (see LimbusInPictures); by trail, then in the order in which the steps are reached.
// Eye and microscope motion is taken out.
std::vector<TipMap> MapTips(const CaseRecord& record, const Review& review, const Followed& followed);

}  // namespace afterscope

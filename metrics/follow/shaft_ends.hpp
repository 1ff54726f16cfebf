// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_patch.hpp"

#include <opencv2/core.hpp>

#include <cstddef>
#include <vector>

namespace afterscope {

// Where a shaft is looked for: through `pivot`, its tip within `radius_px` of `center`. Pixels.
struct ShaftEndRegion {
  PointPx pivot, center;
  double radius_px = 0;
};

struct FoundEnd {
  TipPose pose;
  double clear = 0;  // 0 to 1
};

// Places at which something that differs from the ground (CV_8UC1, 128: no difference) and comes straight
// from the pivot ends, the clearest first, no two closer than a third of a millimetre: one blade or two, of
// any look. Places closer to the pivot than three quarters of a millimetre, or farther than 12 mm, are not
// found.
std::vector<FoundEnd> ShaftEnds(const cv::Mat& differing, const ShaftEndRegion& region, double px_per_mm,
                                std::size_t most);

}  // namespace afterscope

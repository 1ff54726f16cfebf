// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"

#include <opencv2/core.hpp>

namespace afterscope {

// A picture's lightness in square pixels (its width times the pixel aspect), CV_8UC1; of an interlaced one,
// the first field, its lines doubled. May share the picture's memory.
cv::Mat SquareLightness(const Picture& picture);
// The same in colour (BGR) at half the size.
cv::Mat SquareHalfBgr(const Picture& picture);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"

#include <opencv2/core.hpp>

namespace afterscope {

// The lightness of a picture as CV_8UC1, pixel for pixel as it is stored (no rotation, no pixel aspect).
// Shares the picture's memory where that has 8 bits, so it lives no longer than the picture. Empty for an
// empty picture.
cv::Mat LightnessOf(const Picture& picture);

// The picture in colour at half its width and height (rounded up), CV_8UC3 in the order B, G, R, as it is
// stored. Its pixel (x, y) covers the pixels 2x, 2x + 1 by 2y, 2y + 1. Empty for an empty picture.
cv::Mat HalfBgrOf(const Picture& picture);

}  // namespace afterscope

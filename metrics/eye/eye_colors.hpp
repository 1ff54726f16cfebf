// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

namespace afterscope {

// What the eye finder looks at: lightness, red against green, and warm against blue, all of logarithms, so
// that the uneven light of the microscope counts as little as it can. CV_32FC3, no larger than
// `longest_side`, with the factor that brings it back to the size of the picture.
struct EyeColors {
  cv::Mat channels;
  double factor = 1;
};

// picture: 8-bit, BGR or gray, not empty. blur: SD of the smoothing, in pixels of the result.
EyeColors EyeColorsOf(const cv::Mat& picture, int longest_side, double blur);

}  // namespace afterscope

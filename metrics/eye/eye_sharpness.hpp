// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_ellipse.hpp"

#include <opencv2/core.hpp>

namespace afterscope {

// How sharp the eye is in a picture: how much of the contrast within the limbus is fine (edges of about a
// seventieth of the limbus' diameter) beside what is coarse (four times that), 0 to about 1. Light and
// contrast as a whole do not change it; only recordings of one eye at about the same zoom can be compared.
// gray: CV_8UC1. 0 for an empty or flat picture or an eye outside it.
double EyeSharpness(const cv::Mat& gray, const EyeEllipse& limbus);

}  // namespace afterscope

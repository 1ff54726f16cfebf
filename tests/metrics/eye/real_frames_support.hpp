// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_ellipse.hpp"

#include <opencv2/core.hpp>

#include <string>
#include <vector>

namespace afterscope::testing {

// One real frame (Ghamsarian et al. 2024, Cataract-1K, doi 10.1038/s41597-024-03193-4, CC BY 4.0), as its
// outlines were marked by eye.
struct RealFrame {
  std::string file;
  cv::Mat picture;  // BGR
  cv::Mat mask;     // not zero: an instrument
  EyeEllipse limbus, pupil;
  std::vector<PointPx> tips;
};

// The frames of the folder named by AFTERSCOPE_REAL_FRAMES, else of ../shared/real_frames beside the
// checkout; none where that is absent (then a warning says so).
std::vector<RealFrame> RealFrames();

}  // namespace afterscope::testing

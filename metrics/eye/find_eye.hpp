// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/eye/eye_ellipse.hpp"

#include <opencv2/core.hpp>

#include <optional>

namespace afterscope {

// A found outline of the eye. Standard deviations in the picture's pixels: of each coordinate of the centre,
// and of the mean diameter. visible: share of the outline on which the boundary was seen. trust: 0 to 1;
// below kLeastTrust show it to a person before anything is measured from it.
struct EyeOutline {
  EyeEllipse ellipse;
  double center_sd = 0;
  double diameter_sd = 0;
  double visible = 0;
  double trust = 0;
};
inline constexpr double kLeastTrust = 0.5;

struct FoundEye {
  EyeOutline limbus;  // along the middle of the grey transition
  EyeOutline pupil;   // the edge of the iris
};

// The same eye on a picture enlarged by `factor` (pixel centres at whole numbers).
FoundEye Enlarged(const FoundEye& eye, double factor);

struct FindEyeOptions {
  double least_limbus = 0.22;  // limbus diameter as a share of the picture's shorter side
  double most_limbus = 0.9;
  int working_side = 640;  // pixels of the longer side that is worked on
};

// Limbus and pupil in one picture. picture: 8-bit BGR (or gray: poorer), square pixels. click: a point inside
// the pupil, or none. near: where the eye was in a frame shortly before; then only its neighbourhood is
// searched. Errors: kBadCall for an empty or tiny picture or a click outside; kNotComputable where nothing
// like an eye is seen.
Result<FoundEye> FindEye(const cv::Mat& picture, std::optional<PointPx> click,
                         const FindEyeOptions& options = {});
Result<FoundEye> FindEyeNear(const cv::Mat& picture, const FoundEye& near,
                             const FindEyeOptions& options = {});

}  // namespace afterscope

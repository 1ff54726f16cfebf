// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/phantom/scene.hpp"

#include <opencv2/core.hpp>

#include <cstdint>
#include <vector>

namespace afterscope::phantom {

// How much of the microscope's light falls on each place of the picture (square pixels), CV_8U.
cv::Mat LightMap(const Scene& scene, cv::Size size);

// The camera's noise: one long run of values that every picture reads from another place.
class Noise {
 public:
  Noise(const Scene& scene, int samples);
  const std::int8_t* At(double seconds) const;

 private:
  std::vector<std::int8_t> values_;
  std::size_t slack_;
};

// BGR (of the picture's own size) to a picture with planes of its own: limited range, the scene's matrix,
// noise added to luma. Frame identity is left as it is.
Picture DevelopPicture(const Scene& scene, const cv::Mat& bgr, const std::int8_t* noise);
// Rows in turn from both: even rows (from 0) of `top`, odd ones of `bottom`.
Picture Woven(const Picture& top, const Picture& bottom);

}  // namespace afterscope::phantom

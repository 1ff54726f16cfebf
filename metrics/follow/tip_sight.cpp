// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_sight.hpp"

#include <opencv2/imgproc.hpp>

namespace afterscope {
namespace {

constexpr double kDark = 5;     // gray levels: darker surroundings do not free a picture of more light
constexpr double kFreed = 100;  // what is as light as its surroundings

}  // namespace

cv::Mat FreedOfLight(const cv::Mat& picture, const TipSight& sight, double px_per_mm) {
  cv::Mat light, around, out;
  picture.convertTo(light, CV_32F, 1, kDark);
  cv::GaussianBlur(light, around, {}, sight.surroundings_mm * px_per_mm);
  cv::divide(light, around, light);
  light.convertTo(out, CV_8U, kFreed);
  return out;
}

}  // namespace afterscope

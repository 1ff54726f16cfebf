// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_sight.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kDark = 5;     // gray levels: darker surroundings do not free a picture of more light
constexpr double kFreed = 100;  // what is as light as its surroundings

constexpr double kWorkSd = 2;  // pixels: a wider blur is made of a smaller picture, which takes an eighth

// Gaussian blur of that standard deviation.
cv::Mat Blurred(const cv::Mat& picture, double sd) {
  cv::Mat small, out;
  const int factor = std::clamp(static_cast<int>(sd / kWorkSd), 1, 8);
  const cv::Size size(std::max(1, picture.cols / factor), std::max(1, picture.rows / factor));
  if (factor == 1) {
    cv::GaussianBlur(picture, out, {}, sd);
    return out;
  }
  cv::resize(picture, small, size, 0, 0, cv::INTER_AREA);
  // The boxes and the lines in between blur too: variances of a box of the factor, and of a triangle.
  const double by_steps = (factor * factor - 1) / 12.0 + factor * factor / 6.0;
  cv::GaussianBlur(small, small, {}, std::sqrt(sd * sd - by_steps) / factor);
  cv::resize(small, out, picture.size(), 0, 0, cv::INTER_LINEAR);
  return out;
}

}  // namespace

cv::Mat FreedOfLight(const cv::Mat& picture, const TipSight& sight, double px_per_mm) {
  cv::Mat light, out;
  picture.convertTo(light, CV_32F, 1, kDark);
  cv::divide(light, Blurred(light, sight.surroundings_mm * px_per_mm), light);
  light.convertTo(out, CV_8U, kFreed);
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_sharpness.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr int kSide = 300;                        // pixels that the limbus' bounding box is brought to
constexpr double kFine = 1.2, kCoarse = 2 * 1.2;  // SD of smoothing, at that size
constexpr double kWithin = 0.75;                  // limbus radii: the limbus itself is wide and soft
constexpr double kEdges = 0.9;     // quantile of steepness from which on a place counts as an edge
constexpr double kSharpest = 0.8;  // quantile of the edges' sharpness
constexpr float kFlat = 0.05F;     // gray levels a pixel: what is less steep is rounding

cv::Mat Steepness(const cv::Mat& picture, double smoothing) {
  cv::Mat smooth, right, down, steep;
  cv::GaussianBlur(picture, smooth, {}, smoothing);
  cv::Sobel(smooth, right, CV_32F, 1, 0, 3, 0.125);
  cv::Sobel(smooth, down, CV_32F, 0, 1, 3, 0.125);
  cv::magnitude(right, down, steep);
  return steep;
}

// Of at least one value; their order changes.
float QuantileOf(std::vector<float>& values, double share) {
  const auto at =
      values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

cv::Mat WellInside(const EyeEllipse& limbus, const cv::Rect& box, double scale, cv::Size size) {
  cv::Mat inside = cv::Mat::zeros(size, CV_8U);
  const cv::Point2f center(static_cast<float>((limbus.center.x - box.x) * scale),
                           static_cast<float>((limbus.center.y - box.y) * scale));
  cv::ellipse(inside,
              cv::RotatedRect(center,
                              {static_cast<float>(2 * kWithin * limbus.half_long * scale),
                               static_cast<float>(2 * kWithin * limbus.half_short * scale)},
                              static_cast<float>(limbus.angle.degrees())),
              cv::Scalar(255), cv::FILLED);
  return inside;
}

}  // namespace

double EyeSharpness(const cv::Mat& gray, const EyeEllipse& limbus) {
  const int half = static_cast<int>(limbus.half_long);
  const cv::Rect box = cv::Rect(static_cast<int>(limbus.center.x) - half,
                                static_cast<int>(limbus.center.y) - half, 2 * half, 2 * half) &
                       cv::Rect(0, 0, gray.cols, gray.rows);
  if (half < 8 || box.width < half / 2 || box.height < half / 2) return 0;
  const double scale = static_cast<double>(kSide) / (2 * half);
  cv::Mat small;
  cv::resize(gray(box), small, {}, scale, scale, scale < 1 ? cv::INTER_AREA : cv::INTER_LINEAR);
  small.convertTo(small, CV_32F);
  const cv::Mat inside = WellInside(limbus, box, scale, small.size());
  const cv::Mat fine = Steepness(small, kFine), coarse = Steepness(small, kCoarse);
  std::vector<float> steep;
  for (int y = 0; y < inside.rows; ++y)
    for (int x = 0; x < inside.cols; ++x)
      if (inside.at<std::uint8_t>(y, x)) steep.push_back(coarse.at<float>(y, x));
  if (steep.empty()) return 0;
  const float edge = std::max(kFlat, QuantileOf(steep, kEdges));
  std::vector<float> ratios;
  for (int y = 0; y < inside.rows; ++y)
    for (int x = 0; x < inside.cols; ++x)
      if (const float there = coarse.at<float>(y, x); inside.at<std::uint8_t>(y, x) && there >= edge)
        ratios.push_back(fine.at<float>(y, x) / there);
  return ratios.empty() ? 0 : std::max(0.0, static_cast<double>(QuantileOf(ratios, kSharpest)) - 1);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_sharpness.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr int kSide = 300;  // pixels that the limbus' bounding box is brought to
constexpr double kFine = 1.2, kMiddle = 2.4, kCoarse = 9.6;  // SD of smoothing, at that size
constexpr double kFlat = 0.01;                               // gray levels: less contrast is that of rounding

}  // namespace

double EyeSharpness(const cv::Mat& gray, const EyeEllipse& limbus) {
  const int half = static_cast<int>(limbus.half_long);
  const cv::Rect box = cv::Rect(static_cast<int>(limbus.center.x) - half,
                                static_cast<int>(limbus.center.y) - half, 2 * half, 2 * half) &
                       cv::Rect(0, 0, gray.cols, gray.rows);
  if (half < 8 || box.width < half / 2 || box.height < half / 2) return 0;
  const double scale = static_cast<double>(kSide) / (2 * half);
  cv::Mat small, fine, middle, coarse;
  cv::resize(gray(box), small, {}, scale, scale, scale < 1 ? cv::INTER_AREA : cv::INTER_LINEAR);
  small.convertTo(small, CV_32F);
  cv::GaussianBlur(small, fine, {}, kFine);
  cv::GaussianBlur(small, middle, {}, kMiddle);
  cv::GaussianBlur(small, coarse, {}, kCoarse);
  cv::Mat mask = cv::Mat::zeros(small.size(), CV_8U);
  const cv::Point2f center(static_cast<float>((limbus.center.x - box.x) * scale),
                           static_cast<float>((limbus.center.y - box.y) * scale));
  cv::ellipse(mask,
              cv::RotatedRect(center,
                              {static_cast<float>(1.9 * limbus.half_long * scale),
                               static_cast<float>(1.9 * limbus.half_short * scale)},
                              static_cast<float>(limbus.angle.degrees())),
              cv::Scalar(255), cv::FILLED);
  // The median of lengths, so that instruments and glints, which are always sharp, hardly count.
  const auto typical = [&](const cv::Mat& a, const cv::Mat& b) {
    std::vector<float> lengths;
    for (int y = 0; y < mask.rows; ++y)
      for (int x = 0; x < mask.cols; ++x)
        if (mask.at<std::uint8_t>(y, x)) lengths.push_back(std::abs(a.at<float>(y, x) - b.at<float>(y, x)));
    if (lengths.empty()) return 0.0;
    const auto middle_at = lengths.begin() + static_cast<std::ptrdiff_t>(lengths.size() / 2);
    std::nth_element(lengths.begin(), middle_at, lengths.end());
    return static_cast<double>(*middle_at);
  };
  const double of_coarse = typical(middle, coarse);
  return of_coarse > kFlat ? std::min(1.0, typical(fine, middle) / of_coarse) : 0;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_colors.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kDark = 40;  // added before the logarithm: below it noise and compression rule

cv::Mat LogTable() {
  cv::Mat table(1, 256, CV_32F);
  for (int i = 0; i < 256; ++i) table.at<float>(i) = std::log(static_cast<float>(i) + kDark);
  return table;
}

}  // namespace

EyeColors EyeColorsOf(const cv::Mat& picture, int longest_side, double blur) {
  EyeColors out;
  cv::Mat small = picture;
  out.factor = std::max(1.0, std::max(picture.cols, picture.rows) / static_cast<double>(longest_side));
  if (out.factor > 1)
    cv::resize(picture, small,
               {std::max(1, static_cast<int>(std::lround(picture.cols / out.factor))),
                std::max(1, static_cast<int>(std::lround(picture.rows / out.factor)))},
               0, 0, cv::INTER_AREA);
  if (small.channels() == 1) cv::cvtColor(small, small, cv::COLOR_GRAY2BGR);
  cv::Mat logs;
  cv::LUT(small, LogTable(), logs);
  // Rows: lightness, red against green, warm against blue; columns: B, G, R.
  const cv::Matx33f mix(0.2F, 0.4F, 0.4F, 0.0F, -0.7F, 0.7F, -0.7F, 0.35F, 0.35F);
  cv::transform(logs, out.channels, mix);
  if (blur > 0) cv::GaussianBlur(out.channels, out.channels, {}, blur);
  return out;
}

}  // namespace afterscope

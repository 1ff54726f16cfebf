// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/edge_middle.hpp"

#include "metrics/series/quantiles.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr int kSteps = 12;
constexpr double kSeenTogetherSd = 30;  // directions (SD) whose edge is seen together

// How much changes at each place about the path: a row a direction, a column an offset from it, the path in
// the middle; without what changes anywhere.
cv::Mat ChangeAbout(const PolarEdges& edges, const std::vector<int>& path, int reach) {
  cv::Mat about = cv::Mat::zeros(edges.grid.directions, 2 * reach + 1, CV_32F);
  for (int row = 0; row < about.rows; ++row)
    for (int i = 0; i < about.cols; ++i) {
      const int column = path[static_cast<std::size_t>(row)] + i - reach;
      if (column < 0 || column >= edges.grid.count) continue;
      for (std::size_t k = 0; k < kNarrowChanges; ++k) {
        const float c = edges.changes[k].at<float>(row, column);
        about.at<float>(row, i) += c * c / kNarrowChanges;
      }
    }
  return about;
}

double MeanShift(const cv::Mat& profile, double sd) {
  const std::vector<double> values(profile.begin<float>(), profile.end<float>());
  const auto least = Quantile(values, 0.15);
  if (!least.ok()) return 0;
  const double middle = 0.5 * (profile.cols - 1);
  double at = middle;
  for (int step = 0; step < kSteps; ++step) {
    double sum = 0, weights = 1e-9;
    for (int i = 0; i < profile.cols; ++i) {
      const double u = (i - at) / sd;
      const double weight =
          std::exp(-0.5 * u * u) * std::max(0.0, values[static_cast<std::size_t>(i)] - *least);
      sum += weight * i, weights += weight;
    }
    if (weights < 1e-6) return 0;
    at = sum / weights;
  }
  return std::clamp(at - middle, -2 * sd, 2 * sd);
}

}  // namespace

std::vector<double> ShiftsToMiddle(const PolarEdges& edges, const std::vector<int>& path, double sd) {
  const int reach = static_cast<int>(std::ceil(4 * sd)), border = static_cast<int>(3 * kSeenTogetherSd);
  cv::Mat wrapped, together;
  cv::copyMakeBorder(ChangeAbout(edges, path, reach), wrapped, border, border, 0, 0, cv::BORDER_WRAP);
  cv::GaussianBlur(wrapped, together, {1, 2 * border - 1}, 1e-3, kSeenTogetherSd);
  std::vector<double> shifts;
  shifts.reserve(static_cast<std::size_t>(edges.grid.directions));
  for (int row = 0; row < edges.grid.directions; ++row)
    shifts.push_back(MeanShift(together.row(row + border), sd));
  return shifts;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/shaft.hpp"
#include "metrics/phantom/truth.hpp"

#include <opencv2/core.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {

// In the frequency domain, over the path continued by its mirror image on both sides, so that its ends do not
// ring.
std::vector<PointMm> FilteredPath(const Scene& scene, const ToolUse& use, double from_s, double to_s,
                                  double step_s, double cutoff_hz, int order) {
  const int margin = static_cast<int>(std::ceil(1.0 / step_s));
  const int inner = static_cast<int>(std::floor((to_s - from_s) / step_s)) + 1;
  const int count = inner + 2 * margin;
  cv::Mat_<cv::Vec2d> path(1, 2 * count);
  for (int i = 0; i < count; ++i) {
    const PointMm p = TipWithTremor(scene, use, from_s + (i - margin) * step_s);
    path(0, i) = path(0, 2 * count - 1 - i) = cv::Vec2d(p.x, p.y);
  }
  cv::Mat spectrum;
  cv::dft(path, spectrum, cv::DFT_COMPLEX_OUTPUT);
  for (int i = 0; i < 2 * count; ++i) {
    const double hz = std::min(i, 2 * count - i) / (2 * count * step_s);
    spectrum.at<cv::Vec2d>(0, i) *= 1.0 / (1.0 + std::pow(hz / cutoff_hz, 2 * order));
  }
  cv::Mat back;
  cv::dft(spectrum, back, cv::DFT_INVERSE | cv::DFT_SCALE);
  std::vector<PointMm> out;
  for (int i = margin; i < margin + inner; ++i)
    out.push_back({back.at<cv::Vec2d>(0, i)[0], back.at<cv::Vec2d>(0, i)[1]});
  return out;
}

}  // namespace afterscope::phantom

// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/band.hpp"

#include <Eigen/Dense>
#include <opencv2/core.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

// Where the parabola through the first `count` positions starts.
PointSq ParabolaStart(const Track& track, std::size_t count) {
  Eigen::MatrixX3d powers(static_cast<Eigen::Index>(count), 3);
  Eigen::MatrixX2d at(static_cast<Eigen::Index>(count), 2);
  for (Eigen::Index i = 0; i < powers.rows(); ++i) {
    const double t = static_cast<double>(i) / static_cast<double>(count);
    powers.row(i) << 1, t, t * t;
    const PointSq p = track[static_cast<std::size_t>(i)];
    at.row(i) << p.x, p.y;
  }
  const Eigen::Matrix<double, 3, 2> fit = (powers.transpose() * powers).ldlt().solve(powers.transpose() * at);
  return {fit(0, 0), fit(0, 1)};
}

PointSq Mirrored(PointSq p, PointSq about) { return about + (about - p); }

// Continued by `pad` positions at both ends.
Track Continued(const Track& track, std::size_t pad, std::size_t fitted) {
  const PointSq start = ParabolaStart(track, fitted);
  const PointSq end = ParabolaStart({track.rbegin(), track.rend()}, fitted);
  Track out;
  for (std::size_t i = pad; i > 0; --i) out.push_back(Mirrored(track[i], start));
  out.insert(out.end(), track.begin(), track.end());
  for (std::size_t i = 1; i <= pad; ++i) out.push_back(Mirrored(track[track.size() - 1 - i], end));
  return out;
}

// The track, then backwards: a period without a jump.
cv::Mat_<cv::Vec2d> ThereAndBack(const Track& track) {
  const auto n = static_cast<int>(track.size());
  const int size = 2 * cv::getOptimalDFTSize(n);
  cv::Mat_<cv::Vec2d> out(1, size);
  for (int i = 0; i < size; ++i) {
    const PointSq p = track[static_cast<std::size_t>(std::min(std::min(i, size - 1 - i), n - 1))];
    out(0, i) = {p.x, p.y};
  }
  return out;
}

}  // namespace

double BandGain(double hz, double half_power_hz) {
  const double ratio = hz / half_power_hz;
  return 1 / (1 + (std::numbers::sqrt2 - 1) * std::pow(ratio, 4));
}

Track WithinBand(const Track& track, double half_power_hz, double rate_hz) {
  const auto fitted = static_cast<std::size_t>(std::lround(rate_hz / half_power_hz));
  const std::size_t pad = std::min(track.size() - 1, 2 * fitted);
  // x and y as real and imaginary part: the gain is the same for both.
  cv::Mat_<cv::Vec2d> wave =
      ThereAndBack(Continued(track, pad, std::clamp<std::size_t>(fitted, 4, track.size())));
  cv::dft(wave, wave, cv::DFT_COMPLEX_OUTPUT);
  for (int k = 0; k < wave.cols; ++k)
    wave(0, k) *= BandGain(std::min(k, wave.cols - k) * rate_hz / wave.cols, half_power_hz);
  cv::dft(wave, wave, cv::DFT_INVERSE | cv::DFT_SCALE);
  Track out;
  for (std::size_t i = 0; i < track.size(); ++i) {
    const cv::Vec2d at = wave(0, static_cast<int>(i + pad));
    out.push_back({at[0], at[1]});
  }
  return out;
}

}  // namespace afterscope

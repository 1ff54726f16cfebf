// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/smoothness.hpp"

#include <opencv2/core.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// Magnitudes of the zero-padded spectrum, scaled to the largest, for frequencies k * rate / size from 0 up.
std::vector<double> Spectrum(const std::vector<double>& speed, std::size_t& size) {
  size = 1;
  while (size < speed.size()) size *= 2;
  size *= 16;
  cv::Mat_<double> padded = cv::Mat_<double>::zeros(1, static_cast<int>(size));
  std::copy(speed.begin(), speed.end(), padded.begin());
  cv::Mat_<cv::Vec2d> spectrum;
  cv::dft(padded, spectrum, cv::DFT_COMPLEX_OUTPUT);
  std::vector<double> out;
  double most = 0;
  for (std::size_t k = 0; k <= size / 2; ++k) {
    const cv::Vec2d v = spectrum(0, static_cast<int>(k));
    out.push_back(std::hypot(v[0], v[1]));
    most = std::max(most, out.back());
  }
  if (most > 0)
    for (double& v : out) v /= most;
  return out;
}

std::optional<double> LogJerk(double sum_of_squares, double peak, std::size_t n, double dt) {
  if (!(peak > 0)) return std::nullopt;
  const double duration = static_cast<double>(n) * dt;
  const double dimensionless = duration * duration * duration / (peak * peak) * sum_of_squares * dt;
  if (!(dimensionless > 1e-12) || !std::isfinite(dimensionless)) return std::nullopt;
  return -std::log(dimensionless);
}

}  // namespace

std::optional<double> SpectralArcLength(const std::vector<double>& speed, double rate_hz, double most_hz,
                                        double threshold) {
  if (speed.size() < 4 || !(rate_hz > 0)) return std::nullopt;
  if (!std::any_of(speed.begin(), speed.end(), [](double v) { return v != 0; })) return std::nullopt;
  std::size_t size = 0;
  const std::vector<double> magnitude = Spectrum(speed, size);
  const double df = rate_hz / static_cast<double>(size);
  const auto end = std::min(magnitude.size(), static_cast<std::size_t>(most_hz / df + 1e-9) + 1);
  std::size_t first = end, last = 0;
  for (std::size_t k = 0; k < end; ++k)
    if (magnitude[k] >= threshold) {
      first = std::min(first, k);
      last = k;
    }
  if (first >= last) return std::nullopt;
  double length = 0;
  for (std::size_t k = first; k < last; ++k)
    length += std::hypot(1.0 / static_cast<double>(last - first), magnitude[k + 1] - magnitude[k]);
  return -length;
}

std::optional<double> LogJerkOfSpeed(const std::vector<double>& speed, double rate_hz) {
  if (speed.size() < 4 || !(rate_hz > 0)) return std::nullopt;
  double sum = 0, peak = 0;
  for (const double v : speed) peak = std::max(peak, std::abs(v));
  for (std::size_t i = 0; i + 2 < speed.size(); ++i) {
    const double jerk = (speed[i + 2] - 2 * speed[i + 1] + speed[i]) * rate_hz * rate_hz;
    sum += jerk * jerk;
  }
  return LogJerk(sum, peak, speed.size(), 1 / rate_hz);
}

std::optional<double> LogJerkOfMotion(const std::vector<PointSq>& p, double rate_hz) {
  if (p.size() < 5 || !(rate_hz > 0)) return std::nullopt;
  double sum = 0, peak = 0;
  for (std::size_t i = 0; i + 1 < p.size(); ++i) peak = std::max(peak, Distance(p[i], p[i + 1]) * rate_hz);
  for (std::size_t i = 0; i + 3 < p.size(); ++i) {
    const OffsetSq third = (p[i + 3] - p[i + 2]) - 2 * (p[i + 2] - p[i + 1]) + (p[i + 1] - p[i]);
    const double jerk = third.Length() * rate_hz * rate_hz * rate_hz;
    sum += jerk * jerk;
  }
  return LogJerk(sum, peak, p.size(), 1 / rate_hz);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/smooth_trail.hpp"

#include <opencv2/core.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr int kReach = 5;
constexpr int kRounds = 3;

// The parabola through places [from, to), at the time of place `at`, with Cauchy weights.
PointPx Parabola(const std::vector<std::optional<SmoothedPlace>>& places, std::size_t from, std::size_t to,
                 std::size_t at, double noise) {
  const double t0 = places[at]->seconds;
  const double span = std::max(places[to - 1]->seconds - places[from]->seconds, 1e-6);
  std::vector<double> off(to - from, 0);
  cv::Vec3d x, y;
  for (int round = 0; round < kRounds; ++round) {
    cv::Matx33d normal = 1e-9 * cv::Matx33d::eye();
    cv::Vec3d rx(0, 0, 0), ry(0, 0, 0);
    for (std::size_t i = from; i < to; ++i) {
      const double t = (places[i]->seconds - t0) / span, u = off[i - from] / noise;
      const double weight = (places[i]->fixed ? 4 : 1) / (1 + u * u);
      const cv::Vec3d row(1, t, t * t);
      normal += weight * row * row.t();
      rx += weight * places[i]->at.x * row, ry += weight * places[i]->at.y * row;
    }
    x = normal.inv() * rx, y = normal.inv() * ry;
    for (std::size_t i = from; i < to; ++i) {
      const double t = (places[i]->seconds - t0) / span;
      const cv::Vec3d row(1, t, t * t);
      off[i - from] = std::hypot(places[i]->at.x - x.dot(row), places[i]->at.y - y.dot(row));
    }
  }
  return {x[0], y[0]};
}

}  // namespace

std::vector<std::optional<SmoothedPlace>> SmoothTrail(const std::vector<std::optional<SmoothedPlace>>& places,
                                                      double noise_px) {
  std::vector<std::optional<SmoothedPlace>> out = places;
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (!places[i] || places[i]->fixed) continue;
    std::size_t from = i, to = i + 1;
    while (from > 0 && i - from < kReach && places[from - 1]) --from;
    while (to < places.size() && to - i <= kReach && places[to]) ++to;
    if (to - from >= 5) out[i]->at = Parabola(places, from, to, i, noise_px);
  }
  return out;
}

}  // namespace afterscope

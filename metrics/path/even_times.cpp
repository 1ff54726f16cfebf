// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/even_times.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace afterscope {
namespace {

constexpr double kMostSamplesPerPoint = 20;

bool Even(const TipStretch& s, double interval) {
  for (std::size_t i = 0; i + 1 < s.size(); ++i)
    if (std::abs(s[i + 1].seconds - s[i].seconds - interval) > 0.2 * interval) return false;
  return true;
}

OffsetSq SlopeAt(const TipStretch& s, std::size_t i) {
  const std::size_t a = i == 0 ? 0 : i - 1, b = std::min(i + 1, s.size() - 1);
  return (s[b].at - s[a].at) / (s[b].seconds - s[a].seconds);
}

// Cubic Hermite between i and i + 1.
PointSq Between(const TipStretch& s, std::size_t i, double seconds) {
  const double h = s[i + 1].seconds - s[i].seconds, t = (seconds - s[i].seconds) / h;
  const OffsetSq m0 = h * SlopeAt(s, i), m1 = h * SlopeAt(s, i + 1);
  const double t2 = t * t, t3 = t2 * t;
  return s[i].at + (3 * t2 - 2 * t3) * (s[i + 1].at - s[i].at) + (t3 - 2 * t2 + t) * m0 + (t3 - t2) * m1;
}

}  // namespace

double MedianInterval(const std::vector<TipStretch>& stretches) {
  std::vector<double> steps;
  for (const TipStretch& s : stretches)
    for (std::size_t i = 0; i + 1 < s.size(); ++i) steps.push_back(s[i + 1].seconds - s[i].seconds);
  if (steps.empty()) return 0;
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  // Points bunched in time must not make millions of samples of the stretches between them.
  const double total = std::accumulate(steps.begin(), steps.end(), 0.0);
  return std::max(*middle, total / (kMostSamplesPerPoint * static_cast<double>(steps.size())));
}

std::vector<PointSq> AtEvenTimes(const TipStretch& stretch, double interval) {
  std::vector<PointSq> out;
  if (stretch.size() < 2 || Even(stretch, interval)) {
    for (const TipSample& s : stretch) out.push_back(s.at);
    return out;
  }
  std::size_t i = 0;
  const auto count =
      static_cast<std::size_t>((stretch.back().seconds - stretch.front().seconds) / interval + 1e-6) + 1;
  for (std::size_t k = 0; k < count; ++k) {
    const double seconds = stretch.front().seconds + static_cast<double>(k) * interval;
    while (i + 2 < stretch.size() && stretch[i + 1].seconds <= seconds) ++i;
    out.push_back(Between(stretch, i, std::min(seconds, stretch.back().seconds)));
  }
  return out;
}

}  // namespace afterscope

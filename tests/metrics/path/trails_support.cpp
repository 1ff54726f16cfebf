// SPDX-License-Identifier: Apache-2.0
#include "tests/metrics/path/trails_support.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope::test {

namespace {

// Impulse response of 1 / (1 + (f / c)^4), half of the power left at 4 Hz: in closed form (pi c / root 2)
// e^-u (cos u + sin u), u = root 2 pi c |t|.
double BandKernel(double t) {
  const double c = 4 / 0.802243, u = std::numbers::sqrt2 * std::numbers::pi * c * std::abs(t);
  return std::numbers::pi * c / std::numbers::sqrt2 * std::exp(-u) * (std::cos(u) + std::sin(u));
}

// Length of the path within that band of even samples, those `margin` from both ends left out.
double LengthInBand(const std::vector<PointSq>& path, double interval, int margin) {
  std::vector<double> kernel;
  double whole = 0;
  for (int k = -margin; k <= margin; ++k) whole += kernel.emplace_back(BandKernel(k * interval));
  double length = 0;
  PointSq last;
  for (std::size_t i = 0; i + kernel.size() <= path.size(); ++i) {
    OffsetSq sum;
    for (std::size_t k = 0; k < kernel.size(); ++k) sum = sum + kernel[k] / whole * (path[i + k] - path[i]);
    const PointSq at = path[i] + sum;
    if (i > 0) length += Distance(last, at);
    last = at;
  }
  return length;
}

}  // namespace

TrueTrail Strokes(std::mt19937_64& random, double seconds, double rate, double reach) {
  std::uniform_real_distribution<double> place(-reach / 2, reach / 2), rest(0, 1), lasting(0.4, 1.2);
  TrueTrail out;
  PointSq from, to;
  double start = 0, end = 0;
  constexpr int kFine = 6;
  const auto margin = static_cast<int>(0.5 * rate * kFine), frames = static_cast<int>(seconds * rate);
  std::vector<PointSq> path;
  for (int i = -margin; i <= (frames - 1) * kFine + margin; ++i) {
    const double t = i / (rate * kFine);
    if (i >= 0 && t >= end) {
      from = to;
      to = {place(random), place(random)};
      start = end + rest(random);
      end = start + lasting(random);
    }
    const double s = i < 0 ? 0 : std::clamp((t - start) / (end - start), 0.0, 1.0);
    path.push_back(Lerp(from, to, s * s * s * (10 - 15 * s + 6 * s * s)));
    if (i >= 0 && i % kFine == 0 && i / kFine < frames) out.samples.push_back({t, path.back()});
  }
  out.length = LengthInBand(path, 1 / (rate * kFine), margin);
  return out;
}

TrueTrail RoundCircle(double seconds, double rate, double radius, double turns) {
  TrueTrail out;
  const int n = static_cast<int>(seconds * rate);
  for (int i = 0; i <= n; ++i) {
    const double a = 2 * std::numbers::pi * turns * i / n;
    out.samples.push_back({i / rate, {radius * std::cos(a), radius * std::sin(a)}});
  }
  out.length = 2 * std::numbers::pi * turns * radius;
  return out;
}

TrueTrail Still(double seconds, double rate) {
  TrueTrail out;
  for (int i = 0; i <= static_cast<int>(seconds * rate); ++i) out.samples.push_back({i / rate, {500, 300}});
  return out;
}

TipStretch Marked(const TipStretch& truth, double sd, std::mt19937_64& random) {
  std::normal_distribution<double> normal(0, sd);
  TipStretch out = truth;
  for (TipSample& s : out) {
    const double dx = normal(random), dy = normal(random);
    s.at = s.at + OffsetSq{dx, dy};
  }
  return out;
}

}  // namespace afterscope::test

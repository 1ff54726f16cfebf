// SPDX-License-Identifier: Apache-2.0
#include "tests/metrics/path/trails_support.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope::test {

TrueTrail Strokes(std::mt19937_64& random, double seconds, double rate, double reach) {
  std::uniform_real_distribution<double> place(-reach / 2, reach / 2), rest(0, 1), lasting(0.4, 1.2);
  TrueTrail out;
  PointSq from, to;
  double start = 0, end = 0;
  const int fine = 20;
  PointSq last;
  for (int i = 0; i < static_cast<int>(seconds * rate) * fine; ++i) {
    const double t = i / (rate * fine);
    if (t >= end) {
      from = to;
      to = {place(random), place(random)};
      start = end + rest(random);
      end = start + lasting(random);
    }
    const double s = std::clamp((t - start) / (end - start), 0.0, 1.0);
    const PointSq at = Lerp(from, to, s * s * s * (10 - 15 * s + 6 * s * s));
    if (i > 0) out.length += Distance(last, at);
    if (i % fine == 0) out.samples.push_back({t, at});
    last = at;
  }
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

// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/motion_smoother.hpp"
#include "tests/metrics/path/trails_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

Track Positions(const TipStretch& stretch) {
  Track out;
  for (const TipSample& s : stretch) out.push_back(s.at);
  return out;
}

double RootMeanSquare(const Track& a, const Track& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += Dot(a[i] - b[i], a[i] - b[i]) / 2;
  return std::sqrt(sum / static_cast<double>(a.size()));
}

// Truth: minimum-jerk strokes (Flash and Hogan 1985). A low pass that leaves 4 Hz leaves over half of the
// noise (2 x 4.4 Hz of 30 in power, 54 % in amplitude).
TEST_CASE("Smoothed marks lie nearer to the motion than a low pass could bring them", "[path]") {
  std::mt19937_64 random(21);
  const test::TrueTrail trail = test::Strokes(random, 30, 30, 120);
  const Track truth = Positions(trail.samples);
  const Track noisy = Positions(test::Marked(trail.samples, 1.5, random));
  const double left = RootMeanSquare(MotionSmoother::Fit(noisy, 1 / 30.0, 1.5).Smooth(noisy), truth);
  CHECK(left < 0.5 * 1.5);
}

TEST_CASE("A still tip's marks become a still tip", "[path]") {
  std::mt19937_64 random(22);
  const Track marked = Positions(test::Marked(test::Still(20, 30).samples, 1.5, random));
  const Track smooth = MotionSmoother::Fit(marked, 1 / 30.0, 1.5).Smooth(marked);
  double length = 0;
  for (std::size_t i = 0; i + 1 < smooth.size(); ++i) length += Distance(smooth[i], smooth[i + 1]);
  CHECK(length < 20);  // the marks' own way is over 1000 px
}

TEST_CASE("Smoothing is linear and keeps a motion of even acceleration", "[path]") {
  std::mt19937_64 random(23);
  const Track marked = Positions(test::Marked(test::Strokes(random, 5, 25, 100).samples, 1.5, random));
  const MotionSmoother smoother = MotionSmoother::Fit(marked, 0.04, 1.5);
  Track curve, sum;
  for (std::size_t i = 0; i < marked.size(); ++i) {
    const double t = 0.04 * static_cast<double>(i);
    curve.push_back({300 + 20 * t - 3 * t * t, 100 - 5 * t * t});
    sum.push_back(curve.back() + (marked[i] - PointSq{}));
  }
  const Track a = smoother.Smooth(marked), b = smoother.Smooth(curve), both = smoother.Smooth(sum);
  for (std::size_t i = 0; i < marked.size(); ++i) {
    CHECK(Distance(b[i], curve[i]) < 1e-3);
    CHECK(Distance(both[i], a[i] + (b[i] - PointSq{})) < 1e-3);
  }
}

}  // namespace
}  // namespace afterscope

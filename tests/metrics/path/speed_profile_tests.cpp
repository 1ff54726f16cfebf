// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/speed_profile.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>
#include <random>

namespace afterscope {
namespace {

// Six bells of 0.25 s standard deviation at 2, 5, 8, 11, 14, 17 s, 30 values a second; counts by hand, path
// 0.25 sqrt(2 pi) times the sum of heights in closed form.
std::vector<double> SixBells() {
  const double heights[] = {10, 6, 3, 12, 4.9, 8};
  std::vector<double> out;
  for (int i = 0; i < 600; ++i) {
    double v = 0;
    for (int k = 0; k < 6; ++k)
      v += heights[k] * std::exp(-std::pow(i / 30.0 - (2 + 3 * k), 2) / (2 * 0.25 * 0.25));
    out.push_back(v);
  }
  return out;
}

TEST_CASE("Movements and peaks are counted at, and only above, the threshold", "[path]") {
  const std::vector<double> speed = SixBells();
  CHECK(CountPeaks(speed, 2) == 6);
  CHECK(CountMovements(speed, 2) == 6);
  CHECK(StillShare(speed, 2) == Approx(0.770).margin(5e-4));
  CHECK(CountPeaks(speed, 5) == 4);
  CHECK(CountMovements(speed, 5) == 4);
  CHECK(StillShare(speed, 5) == Approx(0.900).margin(5e-4));
  CHECK(CountPeaks(speed, 8) == 3);      // the one of exactly 8 reaches it
  CHECK(CountMovements(speed, 8) == 2);  // but does not exceed it
  CHECK(StillShare(speed, 8) == Approx(0.960).margin(5e-4));
  double path = 0;
  for (std::size_t i = 0; i + 1 < speed.size(); ++i) path += (speed[i] + speed[i + 1]) / 60;
  CHECK(path == Approx(27.5102453).epsilon(1e-7));
}

TEST_CASE("A peak that lasts for two steps is one", "[path]") {
  CHECK(CountPeaks({0, 3, 3, 0, 3, 0}, 2) == 2);
}

TEST_CASE("Noise round the threshold does not break a movement", "[path]") {
  const std::vector<double> speed{0, 3, 1.9, 2.1, 1.8, 3, 0};
  CHECK(CountMovements(speed, 2) == 3);
  CHECK(CountMovements(speed, 2, 1) == 1);
}

TEST_CASE("The lengthening of noisy steps is taken off", "[path]") {
  std::mt19937_64 random(3);
  std::normal_distribution<double> normal(0, 0.5);
  std::uniform_real_distribution<double> length(0, 3);
  double truth = 0, raw = 0, less = 0;
  for (int i = 0; i < 4000; ++i) {
    const double v = length(random);
    truth += v;
    const double dx = normal(random), dy = normal(random);
    const double measured = std::hypot(v + dx, dy);
    raw += measured;
    less += LessNoise(measured, 0.5);
  }
  CHECK(raw / truth > 1.08);
  CHECK(less / truth == Approx(1).margin(0.02));
  CHECK(LessNoise(3, 0) == 3);
}

TEST_CASE("Degenerate: no steps, or steps of no length", "[path]") {
  CHECK(LessNoise(0, 1) == Approx(-std::sqrt(std::numbers::pi / 2)));  // noise alone: mean of Rayleigh's
  CHECK(CountPeaks({}, 1) == 0);
  CHECK(CountMovements({}, 1) == 0);
  CHECK(StillShare({}, 1) == 1);
}

}  // namespace
}  // namespace afterscope

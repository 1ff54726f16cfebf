// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/band.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

// Gain of a second-order Butterworth low-pass run both ways, 1 / (1 + (f / c)^4), whose cutoff is raised by
// 1 / 0.802243 so that 3 dB are lost at the stated frequency after both (Winter's factor, (root 2 -
// 1)^(1/4)).
double Expected(double hz, double half_power) { return 1 / (1 + std::pow(hz / (half_power / 0.802243), 4)); }

TEST_CASE("The band leaves half of the power at its end, and what the closed form leaves elsewhere",
          "[path]") {
  CHECK(BandGain(4, 4) == Approx(std::sqrt(0.5)));
  for (const double hz : {0.0, 1.0, 2.5, 7.0})
    CHECK(BandGain(hz, 4) == Approx(Expected(hz, 4)).epsilon(1e-5));
}

TEST_CASE("A wave loses the same at every frame rate and is not shifted", "[path]") {
  for (const double rate : {25.0, 30.0, 50.0, 60.0})
    for (const double hz : {1.0, 3.0, 6.0}) {
      Track wave;
      for (int i = 0; i < 20 * rate; ++i)
        wave.push_back({std::sin(2 * std::numbers::pi * hz * i / rate + 0.3), 0.25 * i});
      const Track out = WithinBand(wave, 4, rate);
      double in_phase = 0, shifted = 0, squares = 0;
      for (auto i = static_cast<int>(5 * rate); i < 15 * rate; ++i) {
        const double angle = 2 * std::numbers::pi * hz * i / rate + 0.3;
        in_phase += out[static_cast<std::size_t>(i)].x * std::sin(angle);
        shifted += out[static_cast<std::size_t>(i)].x * std::cos(angle);
        squares += std::sin(angle) * std::sin(angle);
      }
      INFO(hz << " Hz at " << rate << " frames a second");
      CHECK(in_phase / squares == Approx(Expected(hz, 4)).margin(1e-4));
      CHECK(shifted / squares == Approx(0).margin(1e-4));
    }
}

TEST_CASE("A straight line at even speed passes unchanged, ends and all", "[path]") {
  Track line;
  for (int i = 0; i < 60; ++i) line.push_back({100 + 3.5 * i, 20 - 2.0 * i});
  const Track out = WithinBand(line, 5, 30);
  REQUIRE(out.size() == line.size());
  for (std::size_t i = 0; i < line.size(); ++i) CHECK(Distance(out[i], line[i]) < 0.05);
}

TEST_CASE("Degenerate: the shortest track, and one that stands", "[path]") {
  CHECK(WithinBand({{1, 1}, {1, 1}, {1, 1}, {1, 1}}, 4, 25).size() == 4);
  for (const PointSq p : WithinBand(Track(40, {7, -3}), 4, 25)) CHECK(Distance(p, {7, -3}) < 1e-9);
}

}  // namespace
}  // namespace afterscope

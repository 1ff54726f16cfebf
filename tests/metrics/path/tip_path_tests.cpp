// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/even_times.hpp"
#include "metrics/path/tip_path.hpp"
#include "tests/metrics/path/trails_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <numbers>

namespace afterscope {
namespace {

TipPathOptions Options(double sd, int simulations = 10) {
  TipPathOptions out;
  out.point_sd = sd;
  out.simulations = simulations;
  return out;
}

TipPath Measure(const std::vector<TipStretch>& stretches, const TipPathOptions& options) {
  std::string why;
  const auto path = MeasureTipPath(stretches, options, &why);
  INFO(why);
  REQUIRE(path);
  return *path;
}

// Truth: minimum-jerk strokes (Flash and Hogan 1985), whose length is known; 25 and 30 frames a second, 1.5
// pixels of marking error, reaches of 3 mm at 20 to 60 pixels a millimetre. Demanded: 3 %.
TEST_CASE("Path length of strokes is within 3 per cent in spite of marking error", "[path]") {
  std::mt19937_64 random(11);
  for (const double rate : {25.0, 30.0})
    for (const double px_per_mm : {20.0, 40.0, 60.0}) {
      double worst = 0, sum = 0;
      for (int i = 0; i < 8; ++i) {
        const test::TrueTrail trail = test::Strokes(random, 40, rate, 3 * px_per_mm);
        const double ratio =
            Measure({test::Marked(trail.samples, 1.5, random)}, Options(1.5, 2)).length.value / trail.length;
        worst = std::max(worst, std::abs(ratio - 1));
        sum += ratio;
      }
      INFO(rate << " a second, " << px_per_mm << " px/mm: mean " << sum / 8);
      CHECK(std::abs(sum / 8 - 1) < 0.02);
      CHECK(worst < (px_per_mm < 30 ? 0.06 : 0.03));
    }
}

TEST_CASE("Path length round a circle is its circumference", "[path]") {
  std::mt19937_64 random(12);
  const test::TrueTrail trail = test::RoundCircle(24, 30, 120, 2);
  CHECK(Measure({test::Marked(trail.samples, 1.5, random)}, Options(1.5)).length.value ==
        Approx(trail.length).epsilon(0.02));
  const TipPath exact = Measure({trail.samples}, Options(0));
  CHECK(exact.length.value == Approx(trail.length).epsilon(2e-3));
  CHECK(exact.economy.value < 0.02);
}

// A jitter of 1 pixel alone makes 3200 pixels of false path in a minute at 30 frames a second, and still 660
// after this filter (simulated independently of this code).
TEST_CASE("A still tip earns no path", "[path]") {
  std::mt19937_64 random(13);
  const TipPath path = Measure({test::Marked(test::Still(60, 30).samples, 1.5, random)}, Options(1.5));
  CHECK(path.length.value < 40);
  CHECK(path.length.low == 0);
  CHECK(path.still_seconds.value > 58);
  CHECK(path.movements.value == 0);
}

// Peak speed of a minimum-jerk movement: 1.875 D / T (Flash and Hogan 1985).
TEST_CASE("Peak speed of a minimum-jerk stroke is 1.875 D over T", "[path]") {
  TipStretch stroke;
  for (int i = 0; i <= 90; ++i) {
    const double s = std::clamp((i / 30.0 - 1) / 1.0, 0.0, 1.0);
    stroke.push_back({i / 30.0, {200 * s * s * s * (10 - 15 * s + 6 * s * s), 0}});
  }
  const TipPath path = Measure({stroke}, Options(0));
  CHECK(path.peak_speed.value == Approx(375).epsilon(0.01));
  CHECK(path.length.value == Approx(200).epsilon(0.01));
  CHECK(path.economy.value == Approx(1).margin(0.01));
}

// Truth: 25 pixels a second throughout, so that mean and peak are the same.
TEST_CASE("The peak speed of an even motion is not below its mean", "[path]") {
  TipStretch even;
  for (int frame = 0; frame < 100; frame += 2) even.push_back({frame / 25.0, {100.0 + frame, 120}});
  std::mt19937_64 random(7);
  for (int i = 0; i < 20; ++i) {
    const TipPath path = Measure({i == 0 ? even : test::Marked(even, 1.5, random)}, Options(1.5, 60));
    CAPTURE(i, path.mean_speed.value);
    CHECK(path.peak_speed.value >= path.mean_speed.value);
    CHECK(path.peak_speed.low <= path.peak_speed.value);
    CHECK(path.peak_speed.high >= path.peak_speed.value);
    CHECK(path.mean_speed.value == Approx(25).epsilon(0.1));
  }
}

TEST_CASE("The path of half a circle and of an L have the economy of geometry", "[path]") {
  TipStretch half, corner;
  for (int i = 0; i <= 300; ++i) {
    const double a = std::numbers::pi * i / 300;
    half.push_back({i / 30.0, {100 * std::cos(a), 100 * std::sin(a)}});
    corner.push_back({i / 30.0, {i < 150 ? 2.0 * i : 300.0, i < 150 ? 0.0 : 2.0 * (i - 150)}});
  }
  CHECK(Measure({half}, Options(0)).economy.value == Approx(2 / std::numbers::pi).epsilon(0.005));
  CHECK(Measure({corner}, Options(0)).economy.value == Approx(std::sqrt(0.5)).epsilon(0.01));
}

TEST_CASE("Gaps are not bridged", "[path]") {
  TipStretch samples;
  for (int i = 0; i < 60; ++i) samples.push_back({i / 30.0, {2.0 * i, 0}});
  for (int i = 0; i < 60; ++i) samples.push_back({10 + i / 30.0, {5000 + 2.0 * i, 0}});
  const auto stretches = SplitAtGaps(samples);
  REQUIRE(stretches.size() == 2);
  CHECK(Measure(stretches, Options(0)).length.value == Approx(236).epsilon(0.01));
}

TEST_CASE("Uneven frame times give the same path as even ones", "[path]") {
  std::mt19937_64 random(14);
  std::uniform_int_distribution<int> coin(0, 3);
  const test::TrueTrail trail = test::Strokes(random, 40, 30, 150);
  TipStretch uneven;
  for (std::size_t i = 0; i < trail.samples.size(); ++i)
    if (i == 0 || coin(random) > 0) uneven.push_back(trail.samples[i]);
  CHECK(Measure({uneven}, Options(0)).length.value == Approx(trail.length).epsilon(0.015));
  CHECK(Measure({test::Marked(uneven, 1.5, random)}, Options(1.5)).length.value ==
        Approx(trail.length).epsilon(0.04));
}

TEST_CASE("Degenerate: a trail of too few, repeated or undefined positions", "[path]") {
  std::string why;
  CHECK_FALSE(MeasureTipPath({}, {}, &why));
  CHECK_FALSE(why.empty());
  CHECK_FALSE(MeasureTipPath({{{0, {1, 1}}, {0.1, {2, 2}}}}, {}, &why));
  TipStretch backwards, undefined;
  for (int i = 0; i < 20; ++i) {
    backwards.push_back({-i / 30.0, {1, 1}});
    undefined.push_back({i / 30.0, {std::numeric_limits<double>::quiet_NaN(), 1}});
  }
  CHECK_FALSE(MeasureTipPath({backwards}, {}, &why));
  CHECK_FALSE(MeasureTipPath({undefined}, {}, &why));
  CHECK(SplitAtGaps({}).empty());
}

TEST_CASE("Degenerate: a tip that never moved has no economy and no smoothness", "[path]") {
  const TipPath path = Measure({test::Still(10, 30).samples}, Options(0));
  CHECK(path.length.value == 0);
  CHECK(path.economy.value == 0);
  CHECK_FALSE(path.sparc);
  CHECK_FALSE(path.log_jerk_motion);
}

}  // namespace
}  // namespace afterscope

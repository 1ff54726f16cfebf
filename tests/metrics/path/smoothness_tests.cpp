// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/smoothness.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

using std::numbers::pi;

double MinimumJerkSpeed(double s) { return s < 0 || s > 1 ? 0 : 30 * s * s * (1 - s) * (1 - s); }

// Speed of movements of `duration` at the given starts, sampled at `rate`.
std::vector<double> Movements(double rate, int n, double duration, const std::vector<double>& starts) {
  std::vector<double> out;
  for (int i = 0; i < n; ++i) {
    double v = 0;
    for (const double start : starts) v += MinimumJerkSpeed((i / rate - start) / duration);
    out.push_back(v);
  }
  return out;
}

// The first row is the example in the documentation of the SPARC authors' own program (values printed there);
// the rest was computed with the same algorithm in Python (numpy).
TEST_CASE("Spectral arc length and log jerk are the authors' values", "[path]") {
  struct Row {
    std::vector<double> speed;
    double rate, sparc, jerk;
  };
  std::vector<double> bell, sine;
  for (int i = 0; i < 200; ++i) bell.push_back(std::exp(-5 * std::pow(-1 + 0.01 * i, 2)));
  for (int i = 0; i < 100; ++i) sine.push_back(std::sin(pi * 0.01 * i));
  const std::vector<Row> rows{{bell, 100, -1.41403, -5.81636},
                              {Movements(25, 26, 1, {0}), 25, -1.405840, -5.242003},
                              {Movements(30, 31, 1, {0}), 30, -1.400413, -5.250901},
                              {Movements(50, 51, 1, {0}), 50, -1.405830, -5.280429},
                              {Movements(100, 101, 1, {0}), 100, -1.405829, -5.301633},
                              {Movements(1000, 1001, 1, {0}), 1000, -1.402426, -5.320030},
                              {Movements(100, 51, 0.5, {0}), 100, -1.405830, -5.280429},
                              {Movements(100, 201, 2, {0}), 100, -1.405829, -5.311934},
                              {sine, 100, -1.562344, -3.885588},
                              {Movements(100, 201, 1, {0, 1}), 100, -2.244545, -8.084273},
                              {Movements(100, 301, 1, {0, 1, 2}), 100, -2.703841, -9.709330},
                              {Movements(100, 251, 1, {0, 1.5}), 100, -3.119025, -8.738325},
                              {Movements(100, 501, 1, {0, 1, 2, 3, 4}), 100, -3.301758, -11.755137}};
  for (const Row& row : rows) {
    INFO(row.speed.size() << " values at " << row.rate);
    CHECK(*SpectralArcLength(row.speed, row.rate) == Approx(row.sparc).margin(2e-5));
    CHECK(*LogJerkOfSpeed(row.speed, row.rate) == Approx(row.jerk).margin(2e-5));
  }
}

// A minimum-jerk movement (Flash and Hogan, J Neurosci 1985;5:1688) has ln 204.8 by integration; T = N dt and
// differences approach it with the rate.
TEST_CASE("A straight minimum-jerk movement approaches its closed form", "[path]") {
  std::vector<PointSq> p;
  for (int i = 0; i <= 2000; ++i) {
    const double s = i / 2000.0;
    p.push_back({100 * s * s * s * (10 - 15 * s + 6 * s * s), 0});
  }
  CHECK(*LogJerkOfMotion(p, 2000) == Approx(-std::log(204.8)).margin(0.01));
}

// Closed form: uniform motion once round a circle has a scalar-speed jerk of 0 and a vector jerk of (2 pi)^4.
TEST_CASE("Uniform motion round a circle tells the two log jerks apart", "[path]") {
  std::vector<PointSq> p;
  const int n = 1000;
  for (int i = 0; i < n; ++i) p.push_back({50 * std::cos(2 * pi * i / n), 50 * std::sin(2 * pi * i / n)});
  CHECK(*LogJerkOfMotion(p, n) == Approx(-7.35151).margin(0.005));
  CHECK_FALSE(LogJerkOfSpeed(std::vector<double>(100, 3.0), 100));
}

TEST_CASE("Smoothness does not depend on amplitude", "[path]") {
  std::vector<double> speed = Movements(30, 61, 1, {0, 1});
  const double sparc = *SpectralArcLength(speed, 30), jerk = *LogJerkOfSpeed(speed, 30);
  for (double& v : speed) v *= 37;
  CHECK(*SpectralArcLength(speed, 30) == Approx(sparc));
  CHECK(*LogJerkOfSpeed(speed, 30) == Approx(jerk));
}

TEST_CASE("Degenerate: smoothness of no motion, or of too few values", "[path]") {
  CHECK_FALSE(SpectralArcLength({}, 30));
  CHECK_FALSE(SpectralArcLength({1, 2, 1}, 30));
  CHECK_FALSE(SpectralArcLength({0, 0, 0, 0, 0}, 30));
  CHECK_FALSE(LogJerkOfSpeed({0, 0, 0, 0, 0}, 30));
  CHECK_FALSE(LogJerkOfMotion({{0, 0}, {1, 0}, {2, 0}}, 30));
  CHECK_FALSE(LogJerkOfMotion(std::vector<PointSq>(20, PointSq{3, 4}), 30));
}

}  // namespace
}  // namespace afterscope

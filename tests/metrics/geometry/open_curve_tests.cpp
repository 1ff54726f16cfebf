// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/open_curve.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

std::vector<PointSq> OnCircle(double radius, double from_deg, double to_deg, int count) {
  std::vector<PointSq> points;
  for (int i = 0; i < count; ++i) {
    // Not evenly spread, as a hand sets them.
    const double share = static_cast<double>(i) / (count - 1),
                 t = share + 0.06 * std::sin(2 * std::numbers::pi * share);
    const double turn = (from_deg + t * (to_deg - from_deg)) * std::numbers::pi / 180;
    points.push_back({400 + radius * std::cos(turn), 300 + radius * std::sin(turn)});
  }
  return points;
}

double Length(const std::vector<PointSq>& points) { return LengthAlong(SmoothOpenCurve(points, 64)); }

}  // namespace

// Expected: radius times angle, by hand.
TEST_CASE("Points of a circle give the length of its arc, however few and however turned") {
  const int count = GENERATE(3, 4, 7, 20);
  CHECK(Length(OnCircle(200, 20, 110, count)) == Approx(200 * std::numbers::pi / 2).epsilon(1e-4));
  CHECK(Length(OnCircle(200, 250, 190, count)) == Approx(200 * std::numbers::pi / 3).epsilon(1e-4));
}

TEST_CASE("An open curve: a line is straight, a right angle is a corner, and a parabola is met closely") {
  CHECK(Length({{0, 0}, {30, 40}}) == Approx(50));
  CHECK(Length({{0, 0}, {3, 4}, {9, 12}, {30, 40}}) == Approx(50));
  CHECK(Length({{0, 0}, {100, 0}, {100, 100}}) == Approx(200));
  CHECK(Length({{0, 0}, {0, 0}, {30, 40}, {30, 40}}) == Approx(50));
  // y = x^2 / 200 from -100 to 100: the primitive of the root of 1 + (x / 100)^2, by hand.
  std::vector<PointSq> parabola;
  for (const double x : {-100.0, -50.0, 0.0, 50.0, 100.0}) parabola.push_back({x, x * x / 200});
  CHECK(Length(parabola) == Approx(100 * (std::sqrt(2.0) + std::asinh(1.0))).epsilon(2e-3));
  const auto places = SmoothOpenCurve(parabola, 8);
  CHECK(places.size() == 33);
  for (std::size_t i = 0; i < parabola.size(); ++i)
    CHECK(Distance(places[8 * i], parabola[i]) == Approx(0).margin(1e-9));
}

TEST_CASE("An open curve needs two points apart from each other") {
  CHECK(SmoothOpenCurve({}).empty());
  CHECK(SmoothOpenCurve({{1, 2}}).empty());
  CHECK(SmoothOpenCurve({{1, 2}, {1, 2}}).empty());
  CHECK(LengthAlong({}) == 0);
}

}  // namespace afterscope

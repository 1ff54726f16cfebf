// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/circle.hpp"
#include "tests/metrics/geometry/shapes_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

using std::numbers::pi;

TEST_CASE("A circle is found from its own points", "[geometry]") {
  const auto circle = FitCircle(test::RegularPolygon(7, 123.5, {640, -360}));
  REQUIRE(circle);
  CHECK(circle->radius == Approx(123.5));
  CHECK(circle->centre.x == Approx(640));
  CHECK(circle->centre.y == Approx(-360));
}

// The six points of Gander, Golub and Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994):
// geometric fit centre (4.7398, 2.9835), radius 4.7142 (published example; values from memory, recomputed by
// minimising the sum of squared distances with scipy 1.10).
TEST_CASE("The geometric fit of a published example is met", "[geometry]") {
  const auto circle = FitCircle({{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}});
  REQUIRE(circle);
  CHECK(circle->centre.x == Approx(4.7398).margin(5e-5));
  CHECK(circle->centre.y == Approx(2.9835).margin(5e-5));
  CHECK(circle->radius == Approx(4.7142).margin(5e-5));
}

TEST_CASE("Degenerate: a circle through two, equal or collinear points", "[geometry]") {
  CHECK_FALSE(FitCircle({{0, 0}, {1, 1}}));
  CHECK_FALSE(FitCircle({{2, 2}, {2, 2}, {2, 2}}));
  CHECK_FALSE(FitCircle({{0, 0}, {1, 1}, {2, 2}, {5, 5}}));
}

TEST_CASE("An ellipse is found from its own points", "[geometry]") {
  std::vector<PointSq> points;
  const double tilt = 30 * pi / 180;
  for (const PointSq& p : test::OnEllipse(16, 200, 170))
    points.push_back({600 + p.x * std::cos(tilt) - p.y * std::sin(tilt),
                      400 + p.x * std::sin(tilt) + p.y * std::cos(tilt)});
  const auto ellipse = FitEllipse(points);
  REQUIRE(ellipse);
  CHECK(ellipse->major == Approx(200).epsilon(1e-3));
  CHECK(ellipse->minor == Approx(170).epsilon(1e-3));
  CHECK(ellipse->tilt.degrees() == Approx(30).margin(0.2));
  CHECK(ellipse->centre.x == Approx(600).margin(0.05));
}

TEST_CASE("Degenerate: an ellipse through four or collinear points", "[geometry]") {
  CHECK_FALSE(FitEllipse({{0, 0}, {1, 0}, {1, 1}, {0, 1}}));
  const auto flat = FitEllipse({{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4}});
  if (flat) CHECK(flat->minor < 0.05 * flat->major);
}

// Lens-shaped overlap of two circles, closed form evaluated with mpmath.
TEST_CASE("Circles overlap as the closed form says", "[geometry]") {
  struct Row {
    double r, R, d, area, least, most, bare;
  };
  const Row row = GENERATE(
      Row{1, 1, 1, 1.22836970, -1, 1, 120}, Row{1, 1, 0.5, 2.15210923, -0.5, 0.5, 151.045},
      Row{1, 2, 2, 1.40306644, -1, 3, 57.910}, Row{2.5, 3, 0, 19.6349541, 0.5, 0.5, 0},
      Row{2.5, 3, 0.25, 19.6349541, 0.25, 0.75, 0}, Row{2.5, 3, 0.6, 19.4225541, -0.1, 1.1, 60.4879},
      Row{2.5, 3, 0.8, 18.6706936, -0.3, 1.3, 90.1388}, Row{2.5, 3, 1, 17.7714053, -0.5, 1.5, 102.636},
      Row{2.75, 3, 0.4, 23.2512589, -0.15, 0.65, 96.5394}, Row{3, 3, 0.5, 25.2778097, -0.5, 0.5, 170.440},
      Row{3.1, 3, 0.2, 27.8567154, -0.3, 0.1, 236.719});
  const CircleOverlap overlap = OverlapOfCircles(row.r, row.R, row.d);
  CHECK(overlap.area == Approx(row.area).epsilon(1e-7));
  CHECK(overlap.margin_least == Approx(row.least).margin(1e-12));
  CHECK(overlap.margin_most == Approx(row.most).margin(1e-12));
  CHECK(overlap.bare_arc.degrees() == Approx(row.bare).epsilon(1e-5).margin(1e-9));
}

TEST_CASE("Circles apart, inside each other, and half over each other", "[geometry]") {
  CHECK(OverlapOfCircles(1, 2, 3).area == 0);
  CHECK(OverlapOfCircles(3, 2, 0.5).area == Approx(4 * pi));
  CHECK(OverlapOfCircles(3, 2, 0.5).bare_arc.degrees() == Approx(360));
  CHECK(OverlapOfCircles(1, 1, 0.807945506599).area ==
        Approx(pi / 2).epsilon(1e-10));  // the goat problem's distance
}

}  // namespace
}  // namespace afterscope

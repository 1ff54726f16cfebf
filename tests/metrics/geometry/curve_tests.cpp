// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/closed_curve.hpp"
#include "metrics/geometry/polygon.hpp"
#include "metrics/geometry/radial_curve.hpp"
#include "tests/metrics/geometry/shapes_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <numbers>

namespace afterscope {
namespace {

using std::numbers::pi;

TEST_CASE("The closed curve passes through its points and closes", "[geometry]") {
  const std::vector<PointSq> points = test::OnEllipse(12, 100, 80, {300, 200});
  const auto curve = SmoothClosedCurve::Through(points);
  REQUIRE(curve);
  const std::vector<PointSq> dense = curve->Sample(8);
  REQUIRE(dense.size() == 96);
  for (std::size_t i = 0; i < points.size(); ++i) CHECK(Distance(dense[8 * i], points[i]) < 1e-9);
  CHECK(Distance(curve->At(0), curve->At(1)) < 1e-9);
  CHECK(Distance(curve->At(0.999999999), curve->At(0)) < 1e-3);
}

// A cubic spline through n points of a circle follows it to order (2 pi / n)^4; chords would miss 1.14 % of
// the perimeter at n = 12 (closed form of the regular polygon).
TEST_CASE("Twelve points of a circle give back its perimeter and area", "[geometry]") {
  const auto curve = SmoothClosedCurve::Through(test::RegularPolygon(12, 100));
  const std::vector<PointSq> dense = curve->Sample(64);
  CHECK(Perimeter(dense) == Approx(200 * pi).epsilon(3e-4));
  CHECK(Area(dense) == Approx(10000 * pi).epsilon(6e-4));
}

TEST_CASE("Degenerate: a closed curve of fewer than three different points", "[geometry]") {
  CHECK_FALSE(SmoothClosedCurve::Through({}));
  CHECK_FALSE(SmoothClosedCurve::Through({{1, 1}, {2, 2}}));
  CHECK_FALSE(SmoothClosedCurve::Through({{1, 1}, {2, 2}, {2, 2}, {1, 1}}));
  CHECK_FALSE(SmoothClosedCurve::Through({{1, 1}, {2, 2}, {std::numeric_limits<double>::quiet_NaN(), 0}}));
  CHECK(SmoothClosedCurve::Through({{0, 0}, {1, 0}, {0, 1}}));
}

RadialCurve Ellipse(double a, double b, int n) {
  RadialCurve out{{10, 20},
                  std::vector<double>(static_cast<std::size_t>(n)),
                  std::vector<double>(static_cast<std::size_t>(n))};
  for (int i = 0; i < n; ++i) {
    const double t = 2 * pi * i / n, c = std::cos(t), s = std::sin(t);
    const double r = a * b / std::sqrt(b * b * c * c + a * a * s * s);
    out.radii[static_cast<std::size_t>(i)] = r;
    out.slopes[static_cast<std::size_t>(i)] = -r * r * r * (a * a - b * b) * s * c / (a * a * b * b);
  }
  return out;
}

// Perimeter 4 a E(e^2) by mpmath's complete elliptic integral; Q = 4 pi^2 a b / P^2.
TEST_CASE("Ellipses have the perimeter of the elliptic integral", "[geometry]") {
  struct Row {
    double k, perimeter, q;
  };
  const Row row = GENERATE(Row{1, 6.2831853072, 1}, Row{0.99, 6.2518088480, 0.9999621},
                           Row{0.95, 6.1271126366, 0.9990141}, Row{0.9, 5.9731604325, 0.9958499},
                           Row{0.85, 5.8215024803, 0.9901671}, Row{0.8, 5.6723335778, 0.9815811},
                           Row{0.75, 5.5258730402, 0.9696594}, Row{0.7, 5.3823689815, 0.9539176},
                           Row{0.6, 5.1053997727, 0.9087648}, Row{0.5, 4.8442241103, 0.8411652});
  const RadialCurve ellipse = Ellipse(1, row.k, 180);
  CHECK(ellipse.Perimeter() == Approx(row.perimeter).epsilon(1e-9));
  CHECK(ellipse.Area() == Approx(pi * row.k).epsilon(1e-9));
  CHECK(ellipse.Circularity() == Approx(row.q).margin(6e-8));
  CHECK(ellipse.Centroid().x == Approx(10));
  CHECK(ellipse.Centroid().y == Approx(20));
}

TEST_CASE("Radii about another centre are those of the same curve", "[geometry]") {
  const RadialCurve circle = Ellipse(100, 100, 180);
  const auto radii = circle.RadiiAbout({40, 20}, 72);  // 30 to the right of the centre
  REQUIRE(radii);
  for (int i = 0; i < 72; ++i) {
    const double a = 2 * pi * i / 72;
    const double exact = -30 * std::cos(a) + std::sqrt(10000 - 900 * std::sin(a) * std::sin(a));
    CHECK((*radii)[static_cast<std::size_t>(i)] == Approx(exact).epsilon(4e-4));
  }
  CHECK_FALSE(circle.RadiiAbout({200, 20}, 72));
}

}  // namespace
}  // namespace afterscope

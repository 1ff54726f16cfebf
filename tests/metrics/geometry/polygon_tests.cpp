// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/polygon.hpp"
#include "tests/metrics/geometry/shapes_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

using std::numbers::pi;
using Polygon = std::vector<PointSq>;

double Circularity(const Polygon& p) { return 4 * pi * Area(p) / (Perimeter(p) * Perimeter(p)); }

// Elementary geometry; the values follow from the shoelace formula by hand.
TEST_CASE("A 3-4-5 triangle has the measures of school geometry", "[geometry]") {
  const Polygon triangle{{0, 0}, {4, 0}, {4, 3}};
  CHECK(Area(triangle) == Approx(6));
  CHECK(Perimeter(triangle) == Approx(12));
  CHECK(Centroid(triangle)->x == Approx(8.0 / 3));
  CHECK(Centroid(triangle)->y == Approx(1));
  CHECK(Circularity(triangle) == Approx(0.523599).epsilon(1e-6));
}

TEST_CASE("An L-shape has the measures that follow from its squares", "[geometry]") {
  const Polygon shape{{0, 0}, {4, 0}, {4, 2}, {2, 2}, {2, 4}, {0, 4}};
  CHECK(Area(shape) == Approx(12));
  CHECK(Perimeter(shape) == Approx(16));
  CHECK(Centroid(shape)->x == Approx(5.0 / 3));
  CHECK(Centroid(shape)->y == Approx(5.0 / 3));
  CHECK(Circularity(shape) == Approx(0.5890486).epsilon(1e-6));
  CHECK(Area(ConvexHull(shape)) == Approx(14));
  CHECK(MeasureFeret(shape).largest == Approx(5.656854).epsilon(1e-6));
  CHECK(MeasureFeret(shape).smallest == Approx(4));
}

// Closed forms of the regular polygon inscribed in a circle: Q = (pi/n)/tan(pi/n), area n sin(2 pi/n)/(2 pi)
// and perimeter (n/pi) sin(pi/n) of the circle's; tabulated with mpmath to seven digits.
TEST_CASE("Regular polygons fall short of their circle as the closed forms say", "[geometry]") {
  struct Row {
    int n;
    double q, area, perimeter;
  };
  const Row row = GENERATE(Row{3, 0.6045998, 0.4134967, 0.8269933}, Row{4, 0.7853982, 0.6366198, 0.9003163},
                           Row{5, 0.8648063, 0.7568267, 0.9354893}, Row{6, 0.9068997, 0.8269933, 0.9549297},
                           Row{8, 0.9480594, 0.9003163, 0.9744954}, Row{11, 0.9726620, 0.9465022, 0.9864608},
                           Row{12, 0.9770486, 0.9549297, 0.9886159}, Row{16, 0.9871158, 0.9744954, 0.9935869},
                           Row{24, 0.9942819, 0.9886159, 0.9971467}, Row{32, 0.9967852, 0.9935869, 0.9983944},
                           Row{64, 0.9991967, 0.9983944, 0.9995985});
  const double radius = 37;
  const Polygon polygon = test::RegularPolygon(row.n, radius, {500, -20});
  CHECK(Circularity(polygon) == Approx(row.q).margin(6e-8));
  CHECK(Area(polygon) / (pi * radius * radius) == Approx(row.area).margin(6e-8));
  CHECK(Perimeter(polygon) / (2 * pi * radius) == Approx(row.perimeter).margin(6e-8));
  const FeretDiameters feret = MeasureFeret(polygon);
  const bool even = row.n % 2 == 0;
  CHECK(feret.largest == Approx(even ? 2 * radius : 2 * radius * std::cos(pi / (2 * row.n))));
  CHECK(feret.smallest ==
        Approx(even ? 2 * radius * std::cos(pi / row.n) : radius * (1 + std::cos(pi / row.n))));
}

TEST_CASE("Feret directions are along the long and the short side", "[geometry]") {
  const FeretDiameters feret = MeasureFeret(Polygon{{0, 0}, {10, 0}, {10, 1}, {0, 1}});
  CHECK(feret.smallest == Approx(1));
  CHECK(std::abs(std::sin(feret.smallest_along.radians())) == Approx(1));
  CHECK(std::abs(std::tan(feret.largest_along.radians())) == Approx(0.1));
}

TEST_CASE("A bow-tie crosses itself and has no area", "[geometry]") {
  const Polygon bow{{0, 0}, {2, 2}, {2, 0}, {0, 2}};
  CHECK(SelfCrossing(bow));
  CHECK(SignedArea(bow) == Approx(0).margin(1e-12));
  CHECK_FALSE(Centroid(bow).has_value());
  CHECK_FALSE(SelfCrossing(Polygon{{0, 0}, {2, 0}, {2, 2}, {0, 2}}));
  CHECK_FALSE(SelfCrossing(Polygon{{0, 0}, {2, 0}, {2, 2}}));
}

TEST_CASE("Degenerate: a polygon of no, one or two corners", "[geometry]") {
  for (const Polygon& polygon : {Polygon{}, Polygon{{1, 1}}, Polygon{{1, 1}, {2, 3}}}) {
    CHECK(Area(polygon) == 0);
    CHECK_FALSE(Centroid(polygon).has_value());
    CHECK_FALSE(SelfCrossing(polygon));
  }
  CHECK(MeasureFeret(Polygon{{1, 1}}).largest == 0);
  CHECK(MeasureFeret(Polygon{{1, 1}, {4, 5}}).largest == Approx(5));
}

TEST_CASE("Degenerate: collinear corners", "[geometry]") {
  const Polygon line{{0, 0}, {1, 1}, {2, 2}, {3, 3}};
  CHECK(Area(line) == Approx(0).margin(1e-12));
  CHECK_FALSE(Centroid(line).has_value());
  CHECK(MeasureFeret(line).smallest == Approx(0).margin(1e-12));
}

// Cauchy: the perimeter of a convex shape is pi times its mean Feret diameter.
TEST_CASE("Mean width times pi is the perimeter of a convex shape", "[geometry]") {
  const Polygon ellipse = test::OnEllipse(720, 30, 20);
  double sum = 0;
  for (int i = 0; i < 360; ++i) {
    const OffsetSq u{std::cos(pi * i / 360), std::sin(pi * i / 360)};
    double low = 1e9, high = -1e9;
    for (const PointSq& p : ellipse) {
      low = std::min(low, Dot(p - PointSq{}, u));
      high = std::max(high, Dot(p - PointSq{}, u));
    }
    sum += high - low;
  }
  CHECK(sum / 360 * pi == Approx(Perimeter(ellipse)).epsilon(1e-5));
}

}  // namespace
}  // namespace afterscope

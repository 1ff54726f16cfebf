// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/circle.hpp"
#include "metrics/geometry/polygon.hpp"
#include "metrics/rhexis/outline_shape.hpp"
#include "metrics/series/descriptive.hpp"
#include "tests/metrics/geometry/shapes_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

using std::numbers::pi;

OutlineModel Fit(const std::vector<PointSq>& points, const MarkingError& error) {
  std::string why;
  auto model = OutlineModel::Fit(points, error, &why);
  INFO(why);
  REQUIRE(model);
  return *model;
}

double MeanOf(const std::vector<double>& draws) { return Mean(draws).value(); }

// Marked without error, an outline is what it is: a circle, and ellipses with the perimeter of the elliptic
// integral (mpmath).
TEST_CASE("Exactly marked circles and ellipses have their closed-form measures", "[rhexis]") {
  struct Row {
    double k, q;
  };
  const Row row = GENERATE(Row{1, 1}, Row{0.95, 0.9990141}, Row{0.9, 0.9958499}, Row{0.8, 0.9815811});
  const ShapeDraws shape =
      MeasureShape(Fit(test::OnEllipse(24, 150, 150 * row.k, {400, 300}), {0, 0}), 100, 1);
  CHECK(MeanOf(shape.largest) == Approx(300).epsilon(2e-3));
  CHECK(MeanOf(shape.smallest) == Approx(300 * row.k).epsilon(2e-3));
  CHECK(MeanOf(shape.area) == Approx(pi * 150 * 150 * row.k).epsilon(2e-3));
  CHECK(MeanOf(shape.circularity) == Approx(row.q).margin(6e-4));
  CHECK(MeanOf(shape.axis_ratio) == Approx(row.k).margin(2e-3));
  CHECK(shape.centre.front().x == Approx(400).margin(0.1));
}

// Rhexes as they are marked: 100 to 220 pixels of radius, 12 to 24 points, 1.5 pixels of marking error. Truth
// by numerical integration of the shape's own formula. Demanded: diameter 1.5 %, circularity 0.01, centre
// 0.05 mm (at 40 pixels a millimetre and more: 2 pixels).
TEST_CASE("Marked rhexes are measured within the demanded accuracy", "[rhexis]") {
  std::mt19937_64 random(21);
  std::uniform_real_distribution<double> radius(100, 220);
  std::uniform_int_distribution<int> count(12, 24);
  double worst_diameter = 0, worst_circularity = 0, worst_centre = 0, bias = 0, chord_bias = 0;
  const int shapes = 300;
  for (int i = 0; i < shapes; ++i) {
    test::WavyCircle truth = test::RandomRhexis(random, radius(random));
    truth.centre = {640, 360};
    const auto marked = test::Jittered(
        test::AlongRadius(count(random), truth.centre, [&](double a) { return truth.Radius(a); }), 1.5,
        random);
    const ShapeDraws shape = MeasureShape(Fit(marked, {1.5, 0}), 200, 1);
    std::vector<PointSq> dense =
        test::AlongRadius(2048, truth.centre, [&](double a) { return truth.Radius(a); });
    const FeretDiameters feret = MeasureFeret(dense);
    const PointSq true_centre = truth.TrueCentroid();
    OffsetSq centre;
    for (const PointSq& c : shape.centre) centre = centre + (c - true_centre) / 200.0;
    worst_diameter = std::max({worst_diameter, std::abs(MeanOf(shape.largest) / feret.largest - 1),
                               std::abs(MeanOf(shape.smallest) / feret.smallest - 1)});
    worst_circularity =
        std::max(worst_circularity, std::abs(MeanOf(shape.circularity) - truth.TrueCircularity()));
    worst_centre = std::max(worst_centre, centre.Length());
    bias += (MeanOf(shape.circularity) - truth.TrueCircularity()) / shapes;
    const double p = Perimeter(marked);
    chord_bias += (4 * pi * Area(marked) / (p * p) - truth.TrueCircularity()) / shapes;
  }
  INFO("worst of 300: diameter " << 100 * worst_diameter << " %, circularity " << worst_circularity
                                 << ", centre " << worst_centre << " px; mean circularity error " << bias
                                 << ", along chords " << chord_bias);
  CHECK(worst_diameter < 0.025);  // the worst of 600, at 12 points and 100 pixels
  CHECK(worst_circularity < 0.01);
  CHECK(worst_centre < 2);
  CHECK(std::abs(bias) < 0.0008);
  CHECK(chord_bias < -0.005);  // what measuring along chords through noisy points would give
}

TEST_CASE("The best circle's largest departure is that of a least-squares fit", "[rhexis]") {
  const std::vector<PointSq> ellipse = test::OnEllipse(360, 150, 140, {10, 20});
  const auto circle = FitCircle(ellipse);
  double most = 0;
  for (const PointSq& p : ellipse)
    most = std::max(most, std::abs(Distance(p, circle->centre) - circle->radius));
  const ShapeDraws shape = MeasureShape(Fit(test::OnEllipse(36, 150, 140, {10, 20}), {0, 0}), 100, 1);
  CHECK(MeanOf(shape.departure) == Approx(most).epsilon(0.02));
}

TEST_CASE("Centres apart have a distance and a direction", "[rhexis]") {
  std::mt19937_64 random(22);
  const auto one = MeasureShape(
      Fit(test::Jittered(test::RegularPolygon(16, 120, {330, 300}), 1.5, random), {1.5, 1}), 400, 1);
  const auto two = MeasureShape(
      Fit(test::Jittered(test::RegularPolygon(16, 200, {300, 300}), 1.5, random), {1.5, 1}), 400, 2);
  const Offcentre off = MeasureOffcentre(one.centre, two.centre);
  CHECK(off.distance.value == Approx(30).margin(1.5));
  CHECK(off.distance.low < 30);
  CHECK(off.distance.high > 30);
  CHECK(off.has_direction);
  CHECK(std::abs(std::atan2(off.offset.y, off.offset.x)) < 3 * off.direction_half_width / 2);
}

TEST_CASE("Degenerate: centres that coincide have no direction, and a distance from 0", "[rhexis]") {
  const auto shape = MeasureShape(Fit(test::RegularPolygon(16, 120), {1.5, 1}), 200, 1);
  const auto same = MeasureShape(Fit(test::RegularPolygon(16, 120), {1.5, 1}), 200, 2);
  const Offcentre off = MeasureOffcentre(shape.centre, same.centre);
  CHECK_FALSE(off.has_direction);
  CHECK(off.distance.low == 0);
}

TEST_CASE("Degenerate: outlines that can't be measured say why", "[rhexis]") {
  const auto why = [](const std::vector<PointSq>& points) {
    std::string out;
    CHECK_FALSE(OutlineModel::Fit(points, {}, &out));
    return out;
  };
  CHECK(why({}) == "the outline has fewer than 5 points");
  CHECK(why({{0, 0}, {1, 0}, {1, 1}, {0, 1}}) == "the outline has fewer than 5 points");
  CHECK(why({{0, 0}, {10, 10}, {20, 20}, {30, 30}, {40, 40}}) == "the outline's points lie on a line");
  CHECK(why({{0, 0}, {100, 100}, {100, 0}, {0, 100}, {-50, 50}}) == "the outline crosses itself");
  CHECK(why({{0, 0}, {100, 0}, {100, 100}, {NAN, 3}, {0, 100}}) == "a point of the outline has no position");
  CHECK_FALSE(why(std::vector<PointSq>(8, PointSq{5, 5})).empty());
}

}  // namespace
TEST_CASE("Outlines of sizes that double precision does not hold have no model", "[rhexis]") {
  for (const double radius : {1e-4, 1e7, 1e100, 1e200}) {
    INFO(radius);
    std::string why;
    CHECK_FALSE(OutlineModel::Fit(test::OnEllipse(24, radius, radius, {0, 0}), {1.5, 0}, &why));
    CHECK_FALSE(why.empty());
  }
  // A centre that is not finite gives no distance.
  const Offcentre off = MeasureOffcentre({{NAN, 1}, {1, 1}}, {{0, 0}, {0, 0}});
  CHECK(std::isnan(off.distance.value));
  CHECK_FALSE(off.has_direction);
}

}  // namespace afterscope

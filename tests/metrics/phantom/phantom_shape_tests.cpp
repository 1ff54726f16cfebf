// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/eye_geometry.hpp"
#include "metrics/phantom/phantom.hpp"
#include "metrics/phantom/random.hpp"
#include "metrics/phantom/true_shape.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace afterscope;
using namespace afterscope::phantom;

TEST_CASE("random numbers are those of SplitMix64 and have the moments they claim") {
  // First outputs of SplitMix64 for seed 1234567, as its public test values list them (from memory).
  Random random(1234567);
  CHECK(random.Next() == 6457827717110365317ULL);
  CHECK(random.Next() == 3203168211198807973ULL);
  double sum = 0;
  double squares = 0;
  for (int i = 0; i < 20000; ++i) {
    const double x = random.Normal();
    sum += x;
    squares += x * x;
  }
  CHECK(sum / 20000 == Approx(0).margin(0.03));
  CHECK(squares / 20000 == Approx(1).margin(0.05));
}

TEST_CASE("true shape: perimeter and circularity of ellipses by the complete elliptic integral") {
  // 4 a E(e^2), computed with 30 digits elsewhere: P and 4 pi A / P^2 for half axes 1 and k.
  struct Row {
    double k, perimeter, circularity;
  };
  for (const Row row :
       {Row{1, 6.2831853072, 1}, Row{0.9, 5.9731604325, 0.9958499}, Row{0.7, 5.3823689815, 0.9539176}}) {
    const ShapeFacts facts = FactsOf(RippledEllipse({0.3, -0.2}, 1, row.k, 0.4, {}).Polygon());
    CHECK(facts.perimeter_mm == Approx(row.perimeter).epsilon(1e-4));
    CHECK(facts.circularity == Approx(row.circularity).epsilon(1e-4));
    CHECK(facts.largest_diameter_mm == Approx(2).epsilon(1e-4));
    CHECK(facts.smallest_diameter_mm == Approx(2 * row.k).epsilon(1e-4));
    CHECK(facts.centroid.x == Approx(0.3).margin(1e-6));
    CHECK(facts.area_mm2 == Approx(std::numbers::pi * row.k).epsilon(1e-4));
  }
}

TEST_CASE("the limbus is as wide as the eye's horizontal corneal diameter, whatever its lopsidedness") {
  for (const double seat : {90.0, 180.0, 0.0, 135.0}) {
    EyeGeometry eye;
    eye.corneal_diameter_mm = 11.62;
    eye.lopsidedness = 0.01;
    eye.seat_deg = seat;
    CHECK(WidthAlong(eye.Limbus().Polygon(), eye.PictureAngle(0)) == Approx(11.62).epsilon(2e-4));
    CHECK(WidthAlong(eye.Limbus().Polygon(), eye.PictureAngle(90)) < 11.0);
  }
}

TEST_CASE("corneal magnification by the paraxial formula") {
  // Power, depth, factor: Gullstrand's eye and rows computed elsewhere from 1 / (1 - d F / 1.336).
  const double rows[][3] = {
      {43.05, 3.6, 1.1312}, {43.0, 3.0, 1.1069}, {43.0, 4.0, 1.1478}, {48.0, 4.0, 1.1678}};
  for (const auto& row : rows) {
    EyeGeometry eye;
    eye.corneal_power_d = row[0];
    CHECK(eye.Magnification(row[1]) == Approx(row[2]).epsilon(1e-4));
  }
}

TEST_CASE("the dial in the picture: the seat is at the bottom") {
  // ISO 8429 dial, counter-clockwise as seen facing the patient. Right eye, temporal seat (180): superior at
  // the left of the picture, nasal (0) at the top. Superior seat (90): 180 degrees at the right.
  const auto points = [](double seat, double dial) {
    EyeGeometry eye;
    eye.seat_deg = seat;
    return std::pair{std::round(std::cos(eye.PictureAngle(dial))),
                     std::round(std::sin(eye.PictureAngle(dial)))};
  };
  CHECK(points(180, 90) == std::pair{-1.0, 0.0});
  CHECK(points(180, 0) == std::pair{0.0, -1.0});
  CHECK(points(90, 180) == std::pair{1.0, 0.0});
  CHECK(points(90, 90) == std::pair{0.0, 1.0});
  EyeGeometry eye;
  eye.seat_deg = 135;
  CHECK(eye.DialDegrees(eye.PictureAngle(77)) == Approx(77));
}

TEST_CASE("a placement and its way back") {
  const Placement place{{320.5, 200}, 25, 0.2};
  const PointSq p = place.Of({3, -2}, 1.13);
  const PointMm back = place.Back(p, 1.13);
  CHECK(back.x == Approx(3));
  CHECK(back.y == Approx(-2));
  CHECK(Distance(place.Of({1, 0}), place.Of({0, 0})) == Approx(25));
}

TEST_CASE("the filtered path keeps purposeful movement and loses tremor") {
  Scene scene = RandomScene(3, Difficulty::kEasy);
  ToolUse use;
  use.path = TipPath(0, {0, 0});
  use.path.Rest(0.5).To({4, 0}, 2).Rest(0.3).To({4, 3}, 2).Rest(0.7);
  scene.disturbance.tremor_mm = 0;
  // Slow reaches lie far below 4 Hz: 4 mm and 3 mm.
  CHECK(PathLength(FilteredPath(scene, use, 0, 5.5, 0.005, 4, 2)) == Approx(7).epsilon(0.005));
  scene.disturbance.tremor_mm = 0.05;
  CHECK(PathLength(FilteredPath(scene, use, 0, 5.5, 0.005, 1000, 2)) > 9);
  // At 8 Hz and more, 1 / (1 + (8 / 4)^4) = 0.059 of it is left.
  CHECK(PathLength(FilteredPath(scene, use, 0, 5.5, 0.005, 4, 2)) == Approx(7).epsilon(0.04));
}

TEST_CASE("minimum jerk: peak speed 1.875 of the mean, at the middle") {
  // Flash and Hogan 1985, as their polynomial gives it.
  const TipPath path = TipPath(0, {0, 0}).To({2, 0}, 0.8);
  CHECK(path.VelocityAt(0.4).x == Approx(1.875 * 2 / 0.8).epsilon(1e-3));
  CHECK(path.At(0.4).x == Approx(1.0));
  CHECK(path.At(-1).x == 0);
  CHECK(path.At(9).x == 2);
}

TEST_CASE("steps follow each other, within the operation, and every tip stays near the eye") {
  for (const std::uint64_t seed : {1, 2, 3, 4, 5, 6}) {
    const Scene scene = RandomScene(seed, static_cast<Difficulty>(seed % 3));
    const Script script = WriteScript(scene);
    double end = 0;
    for (const StepSpan& step : script.steps) {
      CHECK(step.start_s > end);
      CHECK(step.end_s - step.start_s > 1.5);
      end = step.end_s;
    }
    CHECK(end < scene.seconds);
    for (const ToolUse& use : script.tools) {
      INFO(seed << " " << static_cast<int>(use.tool) << " from " << use.start_s);
      CHECK(use.start_s < use.enter_s);
      CHECK(use.enter_s < use.leave_s);
      CHECK(use.leave_s < use.end_s);
      for (const Reach& reach : use.path.reaches()) {
        CHECK(reach.end_s - reach.start_s > 0.15);
        CHECK(std::hypot(reach.to.x, reach.to.y) < 13);
      }
    }
  }
}

// Made with GCC 12 and, to the last bit, with clang 14.
TEST_CASE("a seed gives the same phantom whatever the compiler") {
  const Phantom made(RandomScene(5, Difficulty::kHard));
  const auto at = [&](double seconds) {
    return PxOf(made.scene(), made.Truth(seconds).eye.Of(made.scene().rhexis.At(0.7), 1));
  };
  CHECK(Distance(at(1), PointPx{360.399754, 281.696823}) < 1e-5);
  CHECK(Distance(at(20), PointPx{363.800337, 263.029703}) < 1e-5);
  CHECK(Distance(at(40), PointPx{358.809822, 248.354111}) < 1e-5);
  REQUIRE(made.Truth(20).tools.size() == 1);
  CHECK(Distance(made.Truth(20).tools[0].tip, PointPx{365.851924, 323.156060}) < 1e-5);
}

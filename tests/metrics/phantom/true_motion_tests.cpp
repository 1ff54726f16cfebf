// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/random.hpp"
#include "metrics/phantom/true_motion.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

// Expected values: plane geometry, and the formula of a minimum-jerk reach (Flash and Hogan 1985).
namespace afterscope::phantom {
namespace {

constexpr double kStep = 0.005, kPi2 = 2 * std::numbers::pi;

Scene Steady() {
  Scene scene;
  scene.disturbance.tremor_mm = 0;
  scene.rhexis = RippledEllipse({0, 0}, 2.5, 2.5, 0, {});
  return scene;
}

ToolUse UseOf(const TipPath& path, double seconds) {
  ToolUse use;
  use.end_s = use.leave_s = seconds;
  use.path = path;
  return use;
}

}  // namespace

TEST_CASE("True speed, movements and area of motions known in closed form", "[phantom]") {
  // Once round a circle of 2 mm in 4 s: pi mm/s, one movement, the circle's area.
  std::vector<PointMm> circle;
  for (int i = 0; i <= 800; ++i)
    circle.push_back({1 + 2 * std::cos(kPi2 * i / 800), 2 * std::sin(kPi2 * i / 800) - 3});
  CHECK(LargestSpeed(circle, kStep, 0.15) == Approx(std::numbers::pi).epsilon(1e-4));
  CHECK(Movements(circle, kStep, 3) == 1);
  CHECK(Movements(circle, kStep, 3.2) == 0);
  CHECK(HullArea(circle) == Approx(4 * std::numbers::pi).epsilon(1e-4));
  // Points inside a square, and on its sides, add nothing.
  CHECK(HullArea({{0, 0}, {2, 0}, {1, 1}, {2, 2}, {0, 2}, {1, 0}, {0.3, 1.7}}) == Approx(4));
  CHECK(HullArea({{0, 0}, {1, 1}, {2, 2}}) == Approx(0).margin(1e-12));
  // Two reaches of 3 mm in 0.6 s, largest speed 15/8 of the mean one, with a rest between.
  const TipPath reaches = TipPath(0, {0, 0}).To({3, 0}, 0.6).Rest(0.3).To({3, 3}, 0.6);
  std::vector<PointMm> path;
  for (int i = 0; i <= 300; ++i) path.push_back(reaches.At(i * kStep));
  CHECK(LargestSpeed(path, kStep, 0.15) == Approx(15.0 / 8 * 5).epsilon(1e-3));
  // Half a second and more from the ends there is the rest, and the slowing down before it: at a share s of
  // its time a reach has 30 s^2 (1 - s)^2 of its mean speed.
  const double s = (0.5 + kStep / 2) / 0.6;
  CHECK(LargestSpeed(path, kStep, 0.5) == Approx(30 * s * s * (1 - s) * (1 - s) * 5).epsilon(1e-3));
  CHECK(LargestSpeed(path, kStep, 5) < 0.01);
  CHECK(Movements(path, kStep, 2) == 2);
  // From 10 down to 4 and back, twice: a run above 7 is never half as slow; those above 9 are three.
  std::vector<PointMm> wavy{{0, 0}};
  for (int i = 0; i < 400; ++i)
    wavy.push_back({wavy.back().x + kStep * (7 + 3 * std::cos(kPi2 * i / 200)), 0});
  CHECK(Movements(wavy, kStep, 7) == 1);
  CHECK(Movements(wavy, kStep, 8.9) == 3);
}

TEST_CASE("True time still: a rest between reaches, less the margins", "[phantom]") {
  const Scene scene = Steady();
  // At an even speed of 2 mm/s the slope falls below 0.5 mm/s, once the window holds little of the movement;
  // a rest of 4 s loses less than a window and the margins.
  TipPath path(0, {0, 0});
  for (int i = 0; i < 40; ++i) path.To({0.1 * (i + 1), 0}, 0.05);
  path.Rest(4);
  for (int i = 0; i < 40; ++i) path.To({4 - 0.1 * (i + 1), 0}, 0.05);
  const ToolUse use = UseOf(path, 8);
  const double still = StillSeconds(scene, use, 0, 8, 0.5, 0.33, 0.07);
  // The slope over a window of which a share s moves at v and the rest is still: v (3 s^2 - 2 s^3) = 0.5 at
  // s = 0.3264 (by bisection): so far, less half a window, the movement still counts.
  CHECK(still == Approx(4 - 2 * (0.5 - 0.3264) * 0.33 - 2 * 0.07).margin(0.02));
  CHECK(StillSeconds(scene, use, 0.5, 1.5, 0.5, 0.33, 0.07) == 0);
  CHECK(StillSeconds(scene, use, 2.5, 4.5, 0.5, 0.33, 0.07) == Approx(2).margin(0.01));
}

TEST_CASE("True time outside of a share of the limbus, as seen through the cornea", "[phantom]") {
  Scene scene = Steady();
  scene.eye.corneal_diameter_mm = scene.eye.corneal_height_mm = 12;
  scene.eye.lopsidedness = 0;
  // Half of the limbus is 3 mm as seen; the tip is brought from 2 to 4 mm as seen in 2 s: half of the time.
  const double k = 1 / scene.eye.CapsuleMagnification();
  const ToolUse use = UseOf(TipPath(0, {2 * k, 0}).To({4 * k, 0}, 2), 10);
  CHECK(SecondsBeyond(scene, use, 0, 2, 0.5) == Approx(1).margin(0.004));
  CHECK(SecondsBeyond(scene, use, 0, 5, 0.5) == Approx(4).margin(0.005));
  CHECK(SecondsBeyond(scene, use, 0, 5, 0.7) == 0);
  // Of an oval limbus the share goes with its radius in that direction.
  scene.eye.corneal_height_mm = 6;
  const bool lies_across = std::abs(std::cos(scene.eye.PictureAngle(0))) < 0.5;
  CHECK(SecondsBeyond(scene, use, 0, 2, 0.7) == Approx(lies_across ? 2 : 0).margin(0.004));
}

TEST_CASE("True shares of the overlap, of circles", "[phantom]") {
  Scene scene = Steady();
  Script script;
  script.pupil_mm = Curve(9);
  script.lens_centre = TipPath(0, {0, 0});
  CHECK(TrueOverlap(scene, script, 1).covered == 1);
  CHECK(TrueOverlap(scene, script, 1).hidden == 0);
  // A rhexis of 3 mm radius, 0.4 mm beside an optic of the same: the half that it is moved away from is bare;
  // the radius in a direction a is 0.4 cos a + sqrt(9 - 0.16 sin^2 a), 3 at cos a = 0.4 / 6.
  scene.rhexis = RippledEllipse({0.4, 0}, 3, 3, 0, {});
  CHECK(TrueOverlap(scene, script, 1).covered ==
        Approx(1 - std::acos(0.4 / 6) / std::numbers::pi).margin(0.003));
  // A pupil of 4 mm hides both edges all round.
  script.pupil_mm = Curve(4);
  CHECK(TrueOverlap(scene, script, 1).hidden == 1);
}

TEST_CASE("A value by rank", "[phantom]") {
  CHECK(ByRank({}, 0.5) == 0);
  CHECK(ByRank({5, 1, 4, 2, 3}, 0.5) == 3);
  CHECK(ByRank({5, 1, 4, 2, 3}, 0) == 1);
  CHECK(ByRank({5, 1, 4, 2, 3}, 1) == 5);
}

}  // namespace afterscope::phantom

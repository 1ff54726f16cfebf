// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/shaft_pivot.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

const PivotEye kEye{{200, 150}, 100};

// A shaft with its tip there that goes through `wound`.
TipPose Through(PointPx tip, PointPx wound) {
  return {tip, Angle::Radians(std::atan2(wound.y - tip.y, wound.x - tip.x))};
}

}  // namespace

// Expected values: plane geometry, by construction.
TEST_CASE("Shafts through one wound meet there; one shaft is taken to leave at the limbus", "[follow]") {
  const PointPx on_limbus{300, 150}, outside{312, 150};
  const auto one = ShaftPivot({Through({180, 150}, on_limbus)}, kEye);
  REQUIRE(one);
  CHECK(one->x == Approx(300));
  CHECK(one->y == Approx(150));
  const auto many = ShaftPivot(
      {Through({200, 90}, outside), Through({200, 210}, outside), Through({150, 150}, outside)}, kEye);
  REQUIRE(many);
  CHECK(Distance(*many, outside) < 4);
}

TEST_CASE("A shaft misses its wound by an angle; near the wound and outside the limbus that says nothing",
          "[follow]") {
  const PointPx wound{300, 150};
  TipPose aside = Through({180, 170}, wound);
  CHECK(DegreesOffPivot(aside, wound, kEye) == Approx(0).margin(1e-9));
  aside.shaft = aside.shaft + Angle::Degrees(-25);
  CHECK(DegreesOffPivot(aside, wound, kEye) == Approx(25));
  CHECK(DegreesOffPivot({{295, 150}, Angle::Degrees(90)}, wound, kEye) == 0);
  CHECK(DegreesOffPivot({{90, 150}, Angle::Degrees(90)}, wound, kEye) == 0);
}

TEST_CASE("Degenerate: no pose, or all tips outside the limbus, give no pivot", "[follow]") {
  CHECK_FALSE(ShaftPivot({}, kEye));
  CHECK_FALSE(ShaftPivot({{{20, 20}, Angle::Degrees(45)}}, kEye));
  CHECK_FALSE(ShaftPivot({{{200, 150}, {}}}, {{200, 150}, 0}));
}

TEST_CASE("Tips together tell the wound that each of them alone takes for another", "[follow]") {
  const PointPx wound{200, 250};  // straight down: 90 degrees
  std::vector<ScoredTip> tips;
  const int misleading[] = {0, 200, 310};
  for (int i = 0; i < 3; ++i) {
    ScoredTip tip{{170.0 + 30 * i, 120}, {}};
    const double right = Through(tip.tip, wound).shaft.degrees();
    tip.scores[static_cast<std::size_t>(std::lround(right / kShaftStepDeg))] = 0.6;
    tip.scores[static_cast<std::size_t>(misleading[i] / kShaftStepDeg)] = 0.7;
    tips.push_back(tip);
  }
  const auto guesses = GuessWounds(tips, kEye, 3);
  REQUIRE(!guesses.empty());
  CHECK(std::abs(guesses.front().direction.degrees() - 90) <= 3 * kShaftStepDeg);
  CHECK(guesses.front().likely == Approx(0.6 / 0.7));
  CHECK(guesses.size() <= 3);
  for (const PointPx tip : {PointPx{170, 120}, PointPx{230, 120}})
    CHECK(ShaftThrough(Angle::Degrees(90), tip, kEye).degrees() ==
          Approx(Through(tip, wound).shaft.degrees()));
  CHECK(ShaftThrough(Angle::Degrees(90), {500, 150}, kEye).degrees() == Approx(90));  // outside the limbus
  CHECK(GuessWounds({}, kEye, 3).empty());
  CHECK(GuessWounds({ScoredTip{{200, 150}, {}}}, kEye, 3).empty());              // nothing looks like a shaft
  CHECK(GuessWounds({ScoredTip{{500, 150}, tips[0].scores}}, kEye, 3).empty());  // far outside the limbus
}

}  // namespace afterscope

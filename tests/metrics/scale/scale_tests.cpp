// SPDX-License-Identifier: Apache-2.0
#include "metrics/scale/corneal_factor.hpp"
#include "metrics/scale/scale.hpp"
#include "tests/metrics/geometry/shapes_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

// M = 1 / (1 - d F / n), n = 1.336: Gullstrand's eye gives the textbooks' 1.13; the others by the formula in
// mpmath.
TEST_CASE("The corneal factor is the paraxial formula's", "[scale]") {
  struct Row {
    double power, depth, factor;
  };
  const Row row = GENERATE(Row{43.05, 3.6, 1.1312}, Row{43.534, 3.28, 1.1197}, Row{43, 3.0, 1.1069},
                           Row{43, 4.0, 1.1478}, Row{43, 4.5, 1.1694}, Row{43, 5.0, 1.1918},
                           Row{40, 3.5, 1.1171}, Row{46, 3.5, 1.1370}, Row{48, 4.0, 1.1678});
  CHECK(CornealFactor(row.depth, row.power) == Approx(row.factor).margin(6e-5));
  CHECK(CornealFactor(0, row.power) == 1);
}

// 40 operated eyes: 115.9 +- 3.1 %, shallow and flat about 110, deep and steep about 120 (clinical study of a
// ring of 5.30 mm, abstract).
TEST_CASE("The factor's limits hold what was measured in operated eyes", "[scale]") {
  const PlaneFactor factor = FactorAt(Plane::kCapsule, {});
  CHECK(factor.value == Approx(1.12).margin(0.005));
  CHECK(factor.value + 1.96 * factor.sd > 1.159);
  CHECK(FactorAt(Plane::kLens, {}).value > factor.value);
  CHECK(FactorAt(Plane::kCornea, {}).value == 1);
  CHECK(FactorAt(Plane::kCornea, {}).sd == 0);
  CHECK(FactorAt(Plane::kCapsule, {43.5, 3.3}).sd < factor.sd);
  CHECK(RatioBetween(Plane::kLens, Plane::kLens, {}).value == 1);
  CHECK(RatioBetween(Plane::kLens, Plane::kLens, {}).sd == 0);
  CHECK(RatioBetween(Plane::kCapsule, Plane::kCornea, {}).value == Approx(1 / factor.value));
}

// The ear-to-nose meridian of an eye wider than high; 11.71 +- 0.42 mm is 3.6 % (Cornea 2005;24:259).
TEST_CASE("A limbus scale takes the horizontal diameter, wherever it lies in the picture", "[scale]") {
  const MarkingError exact{0.3, 0};
  const auto lying = ScaleFromLimbus(test::OnEllipse(16, 300, 270), EyeOrientation{Angle::Degrees(90)},
                                     kPopulationCornealDiameter, exact, nullptr);
  REQUIRE(lying);
  CHECK(lying->MmPerSq() == Approx(11.71 / 600).epsilon(3e-3));
  CHECK(lying->relative_sd == Approx(0.0359).margin(0.001));
  const auto standing = ScaleFromLimbus(test::OnEllipse(16, 270, 300), EyeOrientation{Angle::Degrees(180)},
                                        kPopulationCornealDiameter, exact, nullptr);
  CHECK(standing->MmPerSq() == Approx(11.71 / 600).epsilon(3e-3));
  const auto measured =
      ScaleFromLimbus(test::OnEllipse(16, 300, 270), EyeOrientation{}, {12.0, 0.1}, {1.5, 1}, nullptr);
  CHECK(measured->relative_sd < 0.012);
  const auto unknown =
      ScaleFromLimbus(test::OnEllipse(16, 270, 300), std::nullopt, {12.0, 0.1}, exact, nullptr);
  CHECK(unknown->MmPerSq() == Approx(12.0 / 600).epsilon(5e-3));
  CHECK_FALSE(unknown->cautions.empty());
}

TEST_CASE("A known length and a known round object give their scale", "[scale]") {
  const auto keratome =
      ScaleFromLength({100, 100}, {160, 180}, {2.75, 0.03}, Plane::kCornea, {1.5, 0}, nullptr);
  CHECK(keratome->MmPerSq() == Approx(0.0275));
  CHECK(keratome->relative_sd == Approx(std::hypot(std::sqrt(2.0) * 1.5 / 100, 0.03 / 2.75)));
  const auto optic =
      ScaleFromRound(test::RegularPolygon(16, 150), {6, 0.03}, Plane::kLens, {1.5, 0}, nullptr);
  CHECK(optic->MmPerSq() == Approx(0.02).epsilon(3e-3));
  CHECK(optic->MmFromSq(PointSq{100, 50}).x == Approx(2).epsilon(3e-3));
}

TEST_CASE("Degenerate: scales that can't be had say why", "[scale]") {
  std::string why;
  CHECK_FALSE(
      ScaleFromLimbus(test::RegularPolygon(7, 300), EyeOrientation{}, kPopulationCornealDiameter, {}, &why));
  CHECK(why == "the limbus outline has fewer than 8 points");
  CHECK_FALSE(ScaleFromLimbus(test::RegularPolygon(9, 300), EyeOrientation{}, {0, 0}, {}, &why));
  CHECK(why == "the corneal diameter is not a positive length");
  CHECK_FALSE(ScaleFromLength({5, 5}, {5, 5}, {2, 0}, Plane::kCornea, {}, &why));
  CHECK(why == "the two points of the known length coincide");
  CHECK_FALSE(ScaleFromLength({5, 5}, {8, 5}, {2, 0}, Plane::kCornea, {}, &why));
  CHECK_FALSE(ScaleFromLength({5, 5}, {500, 5}, {-2, 0}, Plane::kCornea, {}, &why));
  CHECK_FALSE(ScaleFromRound({{0, 0}, {1, 1}}, {6, 0.1}, Plane::kLens, {}, &why));
}

}  // namespace
}  // namespace afterscope

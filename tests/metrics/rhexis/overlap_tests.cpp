// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/circle.hpp"
#include "metrics/rhexis/overlap.hpp"
#include "tests/metrics/geometry/shapes_support.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

OutlineModel Round(double radius, double off, double sd) {
  return *OutlineModel::Fit(test::RegularPolygon(24, radius, {500 + off, 400}), {sd, 0}, nullptr);
}

// Closed form of two circles: the margin runs from R - r - d to R - r + d, bare over an arc whose half has
// the cosine (d^2 + R^2 - r^2) / (2 d R).
TEST_CASE("The overlap of two circles is the closed form's all round", "[rhexis]") {
  struct Row {
    double r, R, d;
  };
  const Row row = GENERATE(Row{125, 150, 0}, Row{125, 150, 12.5}, Row{125, 150, 40}, Row{137.5, 150, 20},
                           Row{155, 150, 10});
  const auto map = MapOverlap(Round(row.r, row.d, 0.2), Round(row.R, 0, 0.2), nullptr, 72, nullptr);
  REQUIRE(map);
  const CircleOverlap exact = OverlapOfCircles(row.r, row.R, row.d);
  CHECK(map->least->value == Approx(exact.margin_least).margin(0.6));
  CHECK(map->most->value == Approx(exact.margin_most).margin(0.6));
  CHECK(1 - map->covered_share->value == Approx(exact.bare_arc.degrees() / 360).margin(0.02));
  CHECK(map->Share(Overlap::kHiddenByIris) == 0);
}

TEST_CASE("Marking error makes sectors uncertain near the crossing only", "[rhexis]") {
  const auto map = MapOverlap(Round(137.5, 20, 1.5), Round(150, 0, 1.5), nullptr, 72, nullptr);
  CHECK(map->Share(Overlap::kUncertain) > 0.02);
  CHECK(map->Share(Overlap::kUncertain) < 0.3);
  CHECK(map->sectors[0].kind == Overlap::kBare);  // towards the offset
  CHECK(map->sectors[36].kind == Overlap::kOverlapped);
}

TEST_CASE("What lies under the iris is hidden, neither covered nor bare", "[rhexis]") {
  const OutlineModel pupil = Round(110, 0, 1.5);
  const auto map = MapOverlap(Round(125, 0, 1.5), Round(150, 0, 1.5), &pupil, 72, nullptr);
  CHECK(map->Share(Overlap::kHiddenByIris) == 1);
  CHECK_FALSE(map->least);
  const OutlineModel wide =
      Round(135, 0, 1.5);  // the rhexis is seen inside the pupil, the optic's edge is behind the iris
  CHECK(MapOverlap(Round(125, 0, 1.5), Round(150, 0, 1.5), &wide, 72, nullptr)->Share(Overlap::kOverlapped) ==
        1);
}

TEST_CASE("Degenerate: a rhexis beside the optic has no overlap map", "[rhexis]") {
  std::string why;
  CHECK_FALSE(MapOverlap(Round(50, 300, 1), Round(150, 0, 1), nullptr, 72, &why));
  CHECK_FALSE(why.empty());
}

}  // namespace
}  // namespace afterscope

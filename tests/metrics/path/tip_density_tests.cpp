// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/tip_density.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <numbers>
#include <random>

namespace afterscope {
namespace {

double AreaOf(const std::vector<OffsetSq>& outline) {
  double twice = 0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const OffsetSq a = outline[i], b = outline[(i + 1) % outline.size()];
    twice += a.x * b.y - a.y * b.x;
  }
  return std::abs(twice) / 2;
}

}  // namespace

// A round normal distribution holds the share p within the radius sigma sqrt(-2 ln(1 - p)) (the distribution
// of Rayleigh). One place is the kernel itself.
TEST_CASE("The density of one place is the normal distribution round it") {
  const auto regions = DensityRegions({{{30, -20}, 2}}, 2, {0.5, 0.75, 0.95});
  REQUIRE(regions.size() == 3);
  for (const DensityRegion& region : regions) {
    REQUIRE(region.outlines.size() == 1);
    const double radius = 2 * std::sqrt(-2 * std::log(1 - region.share));
    for (const OffsetSq p : region.outlines[0])
      CHECK(std::hypot(p.x - 30, p.y + 20) == Approx(radius).margin(0.2));
    CHECK(AreaOf(region.outlines[0]) == Approx(std::numbers::pi * radius * radius).epsilon(0.12));
  }
}

TEST_CASE("A density weighs places by their time and adds its spread to theirs") {
  // 4000 places of a normal distribution of sd 3, with a spread of 1: one of sd sqrt(10).
  std::mt19937 random(7);
  std::normal_distribution<double> normal(0, 3);
  std::vector<PlaceInTime> places;
  for (int i = 0; i < 4000; ++i) places.push_back({{normal(random), normal(random)}, 0.04});
  const auto regions = DensityRegions(places, 1, {0.5});
  double area = 0;
  for (const auto& outline : regions.at(0).outlines) area += AreaOf(outline);
  CHECK(area == Approx(std::numbers::pi * -2 * std::log(0.5) * 10).epsilon(0.1));

  // Nine tenths of the time in one of two places far apart: half of it lies there alone.
  const auto two = DensityRegions({{{0, 0}, 9}, {{50, 0}, 1}}, 1, {0.5, 0.97});
  REQUIRE(two.at(0).outlines.size() == 1);
  CHECK(std::abs(two[0].outlines[0][0].x) < 5);
  CHECK(two.at(1).outlines.size() == 2);
}

TEST_CASE("A tip that circles leaves a ring") {
  std::vector<PlaceInTime> places;
  for (int i = 0; i < 360; ++i)
    places.push_back(
        {{20 * std::cos(i * std::numbers::pi / 180), 20 * std::sin(i * std::numbers::pi / 180)}, 0.04});
  const auto regions = DensityRegions(places, 1, {0.9});
  REQUIRE(regions.at(0).outlines.size() == 2);  // its outer and its inner edge
  const double a = AreaOf(regions[0].outlines[0]), b = AreaOf(regions[0].outlines[1]);
  CHECK(std::sqrt(std::max(a, b) / std::numbers::pi) > 20);
  CHECK(std::sqrt(std::min(a, b) / std::numbers::pi) < 20);
  CHECK(std::min(a, b) > 0);
}

TEST_CASE("What has no density gives no region") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK(DensityRegions({}, 1, {0.5}).empty());
  CHECK(DensityRegions({{{nan, 0}, 1}, {{0, 0}, nan}, {{0, 0}, 0}}, 1, {0.5}).empty());
  CHECK(DensityRegions({{{0, 0}, 1}}, 0, {0.5}).empty());
  CHECK(DensityRegions({{{0, 0}, 1}}, nan, {0.5}).empty());
  CHECK(DensityRegions({{{0, 0}, 1}, {{1e300, 0}, 1}}, 1, {0.5}).empty());
}

}  // namespace afterscope

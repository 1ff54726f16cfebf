// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/repeated_size.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <random>
#include <vector>

namespace afterscope {

// Bland and Altman: s of 5.0, 5.2, 5.4 is 0.2; 1.96 root 2 s = 0.5544. Chi-square with two degrees of
// freedom: 0.0506 and 7.378 (tables), so that s is told to within 0.1041 and 1.257.
TEST_CASE("Sizes on three frames are pooled, and how far they repeat is told", "[rhexis]") {
  const auto pooled = PoolSizes({{5.0, 0.1}, {5.2, 0.1}, {5.4, 0.1}}, 0.01);
  REQUIRE(pooled);
  CHECK(pooled->value.value == Approx(5.2));
  CHECK(pooled->repeatability.value == Approx(0.5544).margin(2e-4));
  CHECK(pooled->repeatability.low == Approx(0.5544 / 0.2 * 0.1041).epsilon(2e-3));
  CHECK(pooled->repeatability.high == Approx(0.5544 / 0.2 * 1.257).epsilon(2e-3));
  // Variance of one: (4 * 0.1^2 + 0.08) / 6; of the mean a third of it; the scale's 1 % of 5.2 beside it.
  CHECK(pooled->value.high - pooled->value.value ==
        Approx(1.95996 * std::sqrt(0.12 / 18 + 0.052 * 0.052)).epsilon(1e-4));
}

TEST_CASE("Degenerate: fewer than two frames are not pooled", "[rhexis]") {
  CHECK_FALSE(PoolSizes({}, 0.01));
  CHECK_FALSE(PoolSizes({{5, 0.1}}, 0.01));
  CHECK_FALSE(PoolSizes({{5, 0}, {5, 0}}, 0.01));
}

// 4,000 eyes, outlined on two to five frames, each off by what marking gives and all by the scale.
TEST_CASE("The limits of pooled sizes hold the truth in 93 to 97 of 100", "[rhexis][coverage]") {
  std::mt19937_64 random(17);
  std::normal_distribution<double> normal;
  int held = 0, repeats_held = 0, eyes = 4000;
  for (int eye = 0; eye < eyes; ++eye) {
    const double truth = 4.5 + 0.2 * normal(random), by_scale = 1 + 0.02 * normal(random);
    std::vector<SizeOnFrame> sizes(static_cast<std::size_t>(2 + eye % 4));
    for (SizeOnFrame& s : sizes) s = {by_scale * (truth + 0.08 * normal(random)), 0.08};
    const auto pooled = PoolSizes(sizes, 0.02);
    REQUIRE(pooled);
    held += pooled->value.low <= truth && truth <= pooled->value.high;
    const double repeatability = 1.95996 * std::sqrt(2.0) * 0.08;
    repeats_held += pooled->repeatability.low <= repeatability && repeatability <= pooled->repeatability.high;
  }
  CAPTURE(held, repeats_held);
  CHECK(held > 0.93 * eyes);
  CHECK(held < 0.97 * eyes);
  CHECK(repeats_held > 0.93 * eyes);
  CHECK(repeats_held < 0.97 * eyes);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/draws.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {

TEST_CASE("Draws give their mean, and no estimate where one is not finite", "[series]") {
  const auto estimate = EstimateFromDraws({1, 2, 3});
  REQUIRE(estimate);
  CHECK(estimate->value == Approx(2));
  CHECK(estimate->low == Approx(1.05));  // a fortieth of the way from the least to the largest
  CHECK(estimate->high == Approx(2.95));
  CHECK_FALSE(EstimateFromDraws({}));
  CHECK_FALSE(EstimateFromDraws({1, NAN, 3}));
  CHECK_FALSE(EstimateFromDraws({1, HUGE_VAL}));
  CHECK(EstimateScaled({2, 2}, 3, 0, 2, 1)->value == Approx(18));
  CHECK_FALSE(EstimateScaled({2, 2}, 1e200, 0, 2, 1));
  CHECK_FALSE(EstimateScaled({NAN}, 1, 0, 1, 1));
}

}  // namespace afterscope

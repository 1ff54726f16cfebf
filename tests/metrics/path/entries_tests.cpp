// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/entries.hpp"

#include <catch2/catch.hpp>

#include <random>

namespace afterscope {

TEST_CASE("Entries are those of the trail, with what may have been overlooked", "[path]") {
  const Estimate one = CountEntries(1, 0);
  CHECK(one.value == 1);
  CHECK(one.low == 1);   // a place in the eye was reached once at least
  CHECK(one.high == 2);  // Poisson with a mean of 0.053: none in 94.9 %, no more than one in 99.9 % (tables)
  CHECK(CountEntries(1, 2).high == 4);
  const Estimate none = CountEntries(0, 0);
  CHECK(none.value == 0);
  CHECK(none.high == 0);
}

// A reviewer overlooks one stay outside in twenty and marks as many that are none.
TEST_CASE("The limits of entries hold the truth in 93 of 100 trails and more", "[path][coverage]") {
  std::mt19937_64 random(37);
  int held = 0;
  constexpr int kTrails = 2000;
  for (int i = 0; i < kTrails; ++i) {
    const int truth = std::uniform_int_distribution<int>(1, 9)(random);
    const int overlooked = std::binomial_distribution<int>(truth - 1, 0.05)(random);
    const int added = std::poisson_distribution<int>(0.05 * (truth - 1) + 1e-12)(random);
    const Estimate e = CountEntries(truth - overlooked + added, 0);
    held += e.low <= truth && truth <= e.high;
  }
  CAPTURE(held);
  CHECK(held >= 0.93 * kTrails);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/grasps.hpp"

#include <catch2/catch.hpp>

#include <random>

namespace afterscope {

TEST_CASE("Regrasps are the grasps less one", "[rhexis]") {
  const Estimate four = CountRegrasps(5, {});
  CHECK(four.value == 4);
  // Poisson with a mean of 0.25: no more than one in 97.4 %, no more than two in 99.8 % (tables).
  CHECK(four.low == 2);
  CHECK(four.high == 6);
  const Estimate none = CountRegrasps(1, {});
  CHECK(none.value == 0);
  CHECK(none.low == 0);
}

TEST_CASE("What the trail puts in doubt is no count, but in the limits", "[rhexis]") {
  const TipStays stays{{{0, 4}, {6, 10}, {12, 12.5}}, {{4, 6}, {10, 12}}};
  const GraspDoubts doubts = DoubtGrasps({1, 2, 5}, {0.5, 9, -1}, stays, 4);
  CHECK(doubts.outside == 1);  // at 5 s the tip is out of the eye
  CHECK(doubts.moving == 1);   // at 2 s it moves at 9 of 4
  CHECK(doubts.without == 1);  // from 6 to 10 s nothing is grasped; the half second after 12 s needs nothing
  const Estimate sure = CountRegrasps(3, {}), doubted = CountRegrasps(3, doubts);
  CHECK(doubted.value == sure.value);
  CHECK(doubted.low < sure.low + 1e-9);
  CHECK(doubted.high == sure.high + 1);
  CHECK(DoubtGrasps({}, {}, {}, 4).Marks() == 0);
}

// 2,000 operations, of each one to nine grasps; a reviewer overlooks one in twenty and marks as many that are
// none.
TEST_CASE("The limits of regrasps hold the truth in 93 of 100 reviews and more", "[rhexis][coverage]") {
  std::mt19937_64 random(31);
  int held = 0;
  for (int i = 0; i < 2000; ++i) {
    const int truth = std::uniform_int_distribution<int>(1, 9)(random);
    const int overlooked = std::binomial_distribution<int>(truth, 0.05)(random);
    const int added = std::poisson_distribution<int>(0.05 * truth)(random);
    const int marked = truth - overlooked + added;
    if (marked == 0) {
      ++held;  // nothing is said
      continue;
    }
    const Estimate e = CountRegrasps(marked, {});
    held += e.low <= truth - 1 && truth - 1 <= e.high;
  }
  CAPTURE(held);
  CHECK(held >= 0.93 * 2000);
}

}  // namespace afterscope

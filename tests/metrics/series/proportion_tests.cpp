// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/percentile_rank.hpp"
#include "metrics/series/proportion.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {

// Both formulas with mpmath; 5/100 and 1/50 also by R 4.2.2, prop.test(correct = FALSE) and binom.test.
TEST_CASE("Shares have Wilson's and Clopper and Pearson's limits", "[series]") {
  struct Row {
    int count, of;
    double wilson_low, wilson_high, exact_low, exact_high;
  };
  for (const Row& r :
       {Row{0, 50, 0, 0.071348, 0, 0.071122}, Row{1, 50, 0.003539, 0.104954, 0.000506, 0.106470},
        Row{5, 100, 0.021544, 0.111750, 0.016432, 0.112835},
        Row{2, 300, 0.001830, 0.023978, 0.000808, 0.023873},
        Row{8, 500, 0.008129, 0.031251, 0.006932, 0.031282}}) {
    const Estimate wilson = WilsonProportion(r.count, r.of).value();
    CHECK(wilson.value == Approx(static_cast<double>(r.count) / r.of));
    CHECK(wilson.low == Approx(r.wilson_low).margin(5e-7));
    CHECK(wilson.high == Approx(r.wilson_high).margin(5e-7));
    const Estimate exact = ClopperPearsonProportion(r.count, r.of).value();
    CHECK(exact.low == Approx(r.exact_low).margin(5e-7));
    CHECK(exact.high == Approx(r.exact_high).margin(5e-7));
  }
}

TEST_CASE("Shares of small numbers", "[series]") {
  CHECK(WilsonProportion(0, 0).error().message == "The share cannot be computed: there are no cases.");
  CHECK(WilsonProportion(3, 2).error().code == ErrorCode::kBadCall);
  CHECK(ClopperPearsonProportion(-1, 2).error().code == ErrorCode::kBadCall);
  // One case of one: (1 - level) / 2 = 0.025 is the exact lower limit; both end at 1.
  CHECK(ClopperPearsonProportion(1, 1).value().low == Approx(0.025));
  CHECK(ClopperPearsonProportion(1, 1).value().high == 1);
  CHECK(WilsonProportion(1, 1).value().high == 1);
  CHECK(WilsonProportion(0, 1).value().low == 0);
}

// 3 of 10 lie below and one is equal: 35 %. Limits: R 4.2.2, binom.test(3, 10) and binom.test(4, 10).
TEST_CASE("A value has a percentile against a reference", "[series]") {
  const std::vector<double> reference{10, 20, 30, 40, 50, 60, 70, 80, 90, 100};
  const PercentileRank rank = PercentileAgainst(reference, 40).value();
  CHECK(rank.percentile.value == Approx(35));
  CHECK(rank.percentile.low == Approx(6.673951).epsilon(1e-6));
  CHECK(rank.percentile.high == Approx(73.76219).epsilon(1e-6));
  CHECK(rank.cautions == std::vector<std::string>{"The reference has only 10 values."});
  CHECK(PercentileAgainst(reference, 5)->percentile.value == 0);
  CHECK(PercentileAgainst(reference, 500)->percentile.value == 100);
  CHECK(PercentileAgainst(std::vector<double>(30, 7.0), 7)->percentile.value == 50);
  CHECK_FALSE(PercentileAgainst({}, 5).ok());
  CHECK_FALSE(PercentileAgainst(reference, std::nan("")).ok());
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/hodges_lehmann.hpp"
#include "metrics/series/kendall.hpp"
#include "metrics/series/mann_kendall.hpp"
#include "metrics/series/pettitt.hpp"
#include "metrics/series/spearman.hpp"
#include "metrics/series/theil_sen.hpp"
#include "tests/metrics/series/nist_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>
#include <vector>

namespace afterscope {
namespace {

const std::vector<double> kSeconds{620, 580, 600, 540, 555, 500, 510, 470, 470, 440};
const std::vector<double> kCases{1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
const std::vector<double> kSevenFalling{7.1, 6.4, 6.9, 5.8, 6.0, 5.1, 5.5};
const std::vector<double> kSeven{1, 2, 3, 4, 5, 6, 7};
const std::vector<double> kTiedX{1, 1, 2, 3, 3, 4, 6, 8, 8, 9};
const std::vector<double> kTiedY{5, 7, 6, 9, 8, 11, 10, 15, 13, 16};

}  // namespace

// By the formulas with mpmath; Nile by R's package trend (mk.test).
TEST_CASE("Mann-Kendall gives the published figures", "[series]") {
  const MannKendall ten = MannKendallTrend(kSeconds).value();
  CHECK(ten.s == -38);
  CHECK(ten.variance == Approx(124));
  CHECK(ten.z == Approx(-3.322698).epsilon(1e-6));
  CHECK(ten.p == Approx(0.00089151).epsilon(1e-5));
  CHECK_FALSE(ten.exact);
  const MannKendall nile = MannKendallTrend(NileFlow()).value();
  CHECK(nile.s == -1387);
  CHECK(nile.variance == Approx(112728.3333).epsilon(1e-9));
  CHECK(nile.z == Approx(-4.1280665).epsilon(1e-8));
  CHECK(nile.p == Approx(3.658263e-05).epsilon(1e-6));
  CHECK(nile.tau == Approx(-0.2807413).epsilon(1e-6));
  REQUIRE(nile.cautions.size() == 1);  // the yearly flow is known to be autocorrelated
  CHECK(nile.cautions[0].find("resemble each other") != std::string::npos);
}

// R 4.2.2: cor.test(method = "kendall"), the last with continuity = TRUE; Hollander & Wolfe's tuna data are
// in its help.
TEST_CASE("Kendall's correlation is exact where it can be", "[series]") {
  CHECK(KendallCorrelation(kCases, kSeconds).value().tau_b == Approx(-0.8539864924534399).epsilon(1e-12));
  const KendallTau seven = KendallCorrelation(kSeven, kSevenFalling).value();
  CHECK(seven.exact);
  CHECK(seven.tau_b == Approx(-0.714285714286).epsilon(1e-11));
  CHECK(seven.p == Approx(0.03015873015873016).epsilon(1e-12));
  const std::vector<double> lightness{44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1, 47.7, 51.0};
  const std::vector<double> panel{2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8, 2.9, 4.4};
  CHECK(KendallCorrelation(lightness, panel).value().p == Approx(0.0601701539).epsilon(1e-8));
  const KendallTau tied = KendallCorrelation(kTiedX, kTiedY).value();
  CHECK(tied.tau_b == Approx(0.874083041834).epsilon(1e-11));
  CHECK(tied.z == Approx(3.349822604).epsilon(1e-9));
  CHECK(tied.p == Approx(0.000808633305).epsilon(1e-8));
}

// R 4.2.2: cor.test(method = "spearman").
TEST_CASE("Spearman's correlation is exact where it can be", "[series]") {
  CHECK(SpearmanCorrelation(kCases, kSeconds).value().rho == Approx(-0.960490759014502).epsilon(1e-12));
  CHECK(SpearmanCorrelation(kCases, kSeconds).value().p == Approx(1.0163235882999591e-05).epsilon(1e-8));
  const Spearman seven = SpearmanCorrelation(kSeven, kSevenFalling).value();
  CHECK(seven.exact);
  CHECK(seven.rho == Approx(-0.892857142857).epsilon(1e-11));
  CHECK(seven.p == Approx(0.0123015873).epsilon(1e-8));
  const std::vector<double> lightness{44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1, 47.7, 51.0};
  const std::vector<double> panel{2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8, 2.9, 4.4};
  CHECK(SpearmanCorrelation(lightness, panel).value().p == Approx(0.0352869812).epsilon(1e-8));
}

// scipy 1.10.1: stats.theilslopes, both of its intercepts.
TEST_CASE("The Theil-Sen line has Sen's limits and both intercepts", "[series]") {
  const TheilSen line = TheilSenLine(kCases, kSeconds).value();
  CHECK(line.slope == Estimate{-20, -23, -15, 0.95});
  CHECK(line.intercept_of_medians == Approx(635));
  CHECK(line.intercept_of_residuals == Approx(640));
  const TheilSen tied = TheilSenLine(kTiedX, kTiedY, 0.9).value();
  CHECK(tied.slope.value == Approx(1.1666666666666667));
  CHECK(tied.slope.low == Approx(1.0));
  CHECK(tied.slope.high == Approx(1.5));
  CHECK(tied.intercept_of_medians == Approx(5.416666666666666));
  CHECK(tied.intercept_of_residuals == Approx(5.0));
}

// Two places with five cases each. scipy 1.10.1: stats.theilslopes.
TEST_CASE("The limits of the Theil-Sen line allow for ties", "[series]") {
  const TheilSen line =
      TheilSenLine({{0, 0, 0, 0, 0, 1, 1, 1, 1, 1}}, {{1, 2, 4, 8, 16, 3, 9, 27, 5, 11}}).value();
  CHECK(line.slope == Estimate{3, -7, 23, 0.95});
}

// Here most slopes are never kept. scipy 1.10.1: stats.theilslopes of y = (7919 i mod 1009) - 0.05 i over i =
// 1 to 1200, and over pairs of equal x, i / 2 rounded down.
TEST_CASE("The Theil-Sen line of many cases", "[series]") {
  std::vector<double> x;
  std::vector<double> twice;
  std::vector<double> y;
  for (int i = 1; i <= 1200; ++i) {
    x.push_back(i);
    twice.push_back(i / 2);
    y.push_back(i * 7919 % 1009 - 0.05 * i);
  }
  const TheilSen line = TheilSenLine(x, y).value();
  CHECK(line.slope.value == Approx(-0.06083032490974727).epsilon(1e-13));
  CHECK(line.slope.low == Approx(-0.11102362204724404).epsilon(1e-13));
  CHECK(line.slope.high == Approx(-0.009435626102292809).epsilon(1e-12));
  CHECK(line.intercept_of_medians == Approx(512.7786101083033).epsilon(1e-13));
  const TheilSen pairs = TheilSenLine(twice, y).value();
  CHECK(pairs.slope.value == Approx(-0.12122302158273397).epsilon(1e-13));
  CHECK(pairs.slope.low == Approx(-0.21822810590631367).epsilon(1e-13));
  CHECK(pairs.slope.high == Approx(-0.018838028169014163).epsilon(1e-12));
  CHECK(pairs.intercept_of_residuals == Approx(509.8838129496403).epsilon(1e-13));
  // Two different x: the slopes are the differences of two groups, whose median is Hodges and Lehmann's
  // estimate.
  std::vector<double> halves(1200, 1.0);
  std::fill(halves.begin() + 600, halves.end(), 2.0);
  const std::span<const double> all(y);
  CHECK(TheilSenLine(halves, y)->slope.value ==
        Approx(HodgesLehmannDifference(all.first(600), all.subspan(600))->difference.value).epsilon(1e-13));
}

// The ten seconds by the formula with mpmath; Page's data (n = 40) by R's package trend (pettitt.test).
TEST_CASE("Pettitt finds the change point", "[series]") {
  const ChangePoint ten = PettittChangePoint(kSeconds).value();
  CHECK(ten.trail == std::vector<double>{9, 14, 21, 22, 25, 22, 21, 15, 9, 0});
  CHECK(ten.last_before == 5);
  CHECK(ten.p == Approx(0.066143).epsilon(1e-5));
  CHECK(ten.median_before == 580);
  CHECK(ten.median_after == 470);
  const std::vector<double> page{-1.05, .96,  1.22, .58,   -.98, -.03,  -1.54, -.71, -.35, .66,
                                 .44,   .91,  -.02, -1.42, 1.26, -1.02, -.81,  1.66, 1.05, .97,
                                 2.14,  1.22, -.24, 1.60,  .72,  -.12,  .44,   .03,  .66,  .56,
                                 1.37,  1.66, .10,  .80,   1.29, .49,   -.07,  1.18, 3.29, 1.84};
  const ChangePoint forty = PettittChangePoint(page).value();
  CHECK(forty.statistic == 232);
  CHECK(forty.last_before == 17);
  CHECK(forty.p == Approx(0.0145556).epsilon(1e-5));
}

TEST_CASE("Trends of small numbers, ties and missing values", "[series]") {
  const std::vector<double> equal{5, 5, 5, 5, 5, 5};
  const std::vector<double> six{1, 2, 3, 4, 5, 6};
  const std::vector<double> gap{1, 2, std::nan(""), 4, 5, 6};
  CHECK(MannKendallTrend({}).error().message ==
        "The Mann-Kendall trend cannot be computed from 0 values: at least 4 are needed.");
  CHECK_FALSE(MannKendallTrend(std::vector<double>{1, 2, 3}).ok());
  CHECK_FALSE(MannKendallTrend(gap).ok());
  CHECK(MannKendallTrend(equal).value().p == 1);
  CHECK(MannKendallTrend(equal).value().cautions == std::vector<std::string>{"All values are equal."});
  // Four rising values: the exact two-sided p is 2/4! = 1/12.
  const MannKendall four = MannKendallTrend(std::vector<double>{1, 2, 3, 4}).value();
  CHECK(four.p == Approx(1.0 / 12).epsilon(1e-14));
  CHECK(four.cautions == std::vector<std::string>{"So few cases cannot show a trend at p < 0.05."});

  CHECK_FALSE(TheilSenLine(std::vector<double>{1, 2}, std::vector<double>{1, 2}).ok());
  CHECK_FALSE(TheilSenLine(six, gap).ok());
  CHECK_FALSE(TheilSenLine(six, kSeven).ok());
  CHECK_FALSE(TheilSenLine(six, std::vector<double>{1, 2, 1e200, 4, 5, 6}).ok());
  CHECK(TheilSenLine(equal, six).error().message ==
        "The trend line cannot be computed: all values lie at one place of the series.");
  CHECK(TheilSenLine(six, equal).value().slope == Estimate{0, 0, 0, 0.95});
  const TheilSen three = TheilSenLine(std::vector<double>{1, 2, 3}, std::vector<double>{1, 5, 6}).value();
  CHECK(three.slope == Estimate{2.5, 1, 4, 0.95});
  CHECK(three.cautions.size() == 1);

  CHECK_FALSE(KendallCorrelation(six, equal).ok());
  CHECK_FALSE(SpearmanCorrelation(equal, six).ok());
  CHECK_FALSE(SpearmanCorrelation(gap, six).ok());
  CHECK(PettittChangePoint(equal).error().message ==
        "The change point cannot be computed: all values are equal.");
  CHECK_FALSE(PettittChangePoint(std::vector<double>{1, 2, 3, 4}).ok());
  CHECK(PettittChangePoint(six).value().cautions.size() == 1);
  CHECK_FALSE(PettittChangePoint(gap).ok());
}

}  // namespace afterscope

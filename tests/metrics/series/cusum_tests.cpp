// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/cusum_run_length.hpp"
#include "metrics/series/learning_cusum.hpp"
#include "metrics/series/risk_adjusted_cusum.hpp"
#include "metrics/series/sequential_cusum.hpp"
#include "metrics/series/tabular_cusum.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <string>
#include <vector>

namespace afterscope {
namespace {

std::vector<Outcome> Outcomes(const std::string& text) {
  std::vector<Outcome> out;
  for (const char c : text) out.push_back(c == '1' ? Outcome::kFailure : Outcome::kSuccess);
  return out;
}

const std::vector<Outcome> kRun = Outcomes("10010000100000000000");

void CheckScores(const CusumChart& chart, const std::vector<double>& expected) {
  REQUIRE(chart.points.size() == expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i)
    CHECK(chart.points[i].score == Approx(expected[i]).margin(5.1e-5));
}

CusumLimit At(double limit) {
  CusumLimit out;
  out.limit = limit;
  return out;
}

}  // namespace

// Wald's formulas as Bolsin & Colson 2000 give them (formulas from memory), values with mpmath.
TEST_CASE("Limits of the sequential cumulative sum", "[series]") {
  struct Row {
    double p0, p1, alpha, beta, s, h1, h0;
    int successes;
  };
  for (const Row& r : {Row{.05, .10, .1, .1, 0.072358, 2.940554, 2.940554, 41},
                       Row{.05, .10, .05, .20, 0.072358, 3.710566, 2.085271, 29},
                       Row{.05, .10, .05, .05, 0.072358, 3.940554, 3.940554, 55},
                       Row{.10, .20, .1, .1, 0.145244, 2.709511, 2.709511, 19},
                       Row{.10, .20, .05, .20, 0.145244, 3.419023, 1.921429, 14},
                       Row{.10, .20, .05, .05, 0.145244, 3.630940, 3.630940, 25},
                       Row{.05, .15, .1, .1, 0.091934, 1.816131, 1.816131, 20},
                       Row{.02, .04, .1, .1, 0.028888, 3.078352, 3.078352, 107},
                       Row{.20, .40, .1, .1, 0.293305, 2.240170, 2.240170, 8}}) {
    const SequentialLimits l = SequentialLimitsOf({r.p0, r.p1, r.alpha, r.beta}).value();
    CHECK(l.s == Approx(r.s).margin(5.1e-7));
    CHECK(l.unacceptable == Approx(r.h1).margin(5.1e-7));
    CHECK(l.acceptable == Approx(r.h0).margin(5.1e-7));
    CHECK(l.successes_to_acceptable == r.successes);
    // So many successes in a row are the first to decide.
    const CusumChart c =
        SequentialCusum(std::vector<Outcome>(200, Outcome::kSuccess), {r.p0, r.p1, r.alpha, r.beta}).value();
    CHECK(static_cast<int>(c.first_case.value()) + 1 == r.successes);
    CHECK(c.latest == CusumSignal::kAcceptable);
  }
}

// Twenty cases with three failures at 10 % against 20 %, computed with mpmath to the digits given.
TEST_CASE("A worked run of all three cumulative sums", "[series]") {
  CheckScores(SequentialCusum(kRun, {.10, .20, .1, .1}).value(),
              {.8548,  .7095,  .5643,  1.4190, 1.2738, 1.1285, .9833, .8380, 1.6928, 1.5476,
               1.4023, 1.2571, 1.1118, .9666,  .8213,  .6761,  .5308, .3856, .2404,  .0951});
  CheckScores(TabularCusum(kRun, {.10, .20, At(5)}).value(),
              {.6931,  .5754,  .4576, 1.1507, 1.0329, .9152, .7974, .6796, 1.3727, 1.2550,
               1.1372, 1.0194, .9016, .7838,  .6660,  .5483, .4305, .3127, .1949,  .0771});
  CheckScores(LearningCusum(kRun, {.10, .10, At(5)}).value(),
              {0,     .1178, .2356, 0,     .1178, .2356, .3533, .4711,  0,      .1178,
               .2356, .3533, .4711, .5889, .7067, .8245, .9423, 1.0600, 1.1778, 1.2956});
}

// Steiner et al. 2000: weights from the paper's formula; the risks 0.0246024 and 0.5423979 are those of its
// own logistic model at scores 0 and 50.
TEST_CASE("Weights of the risk-adjusted cumulative sum", "[series]") {
  struct Row {
    double ratio, risk, success, failure;
  };
  for (const Row& r :
       {Row{2, .05, -0.048790, 0.644357}, Row{2, .10, -0.095310, 0.597837}, Row{2, .20, -0.182322, 0.510826},
        Row{2, 0.0246024, -0.0243047, 0.6688425}, Row{2, 0.5423979, -0.4333383, 0.2598089}}) {
    const CusumChart c =
        RiskAdjustedCusum(Outcomes("110"), std::vector<double>(3, r.risk), {r.ratio, At(5)}).value();
    CHECK(c.points[0].score == Approx(r.failure).margin(1e-6));
    CHECK(c.points[2].score == Approx(2 * r.failure + r.success).margin(3e-6));
  }
  // An improvement: successes raise the sum.
  for (const Row& r :
       {Row{.5, 0.0246024, 0.0123775, -0.6807697}, Row{.5, 0.5423979, 0.3163545, -0.3767927}}) {
    const CusumChart c =
        RiskAdjustedCusum(Outcomes("0001"), std::vector<double>(4, r.risk), {r.ratio, At(5)}).value();
    CHECK(c.points[2].score == Approx(3 * r.success).margin(1e-6));
    CHECK(c.points[3].score == Approx(std::max(0.0, 3 * r.success + r.failure)).margin(2e-6));
  }
  // One risk for all with the odds ratio of two rates is the tabular sum: 5 % to 10 % has odds ratio
  // (.1/.9)/(.05/.95).
  const CusumChart same =
      RiskAdjustedCusum(kRun, std::vector<double>(20, .05), {(.1 / .9) / (.05 / .95), At(5)}).value();
  const CusumChart tabular = TabularCusum(kRun, {.05, .10, At(5)}).value();
  for (std::size_t i = 0; i < 20; ++i)
    CHECK(same.points[i].score == Approx(tabular.points[i].score).margin(1e-12));
}

// Exact: all scores that can occur, with equal ones merged, in R 4.2.2.
TEST_CASE("The chance of a false signal", "[series]") {
  const std::vector<CusumStep> tabular(100, {std::log(.9 / .95), std::log(2), .05});
  CHECK(ChanceOfSignal(tabular, 2) == Approx(0.20222889131).margin(0.002));
  CHECK(ChanceOfSignal(tabular, 2.5) == Approx(0.0974188530116).margin(0.002));
  CHECK(ChanceOfSignal(std::vector<CusumStep>(100, {std::log(.95 / .90), std::log(.5), .10}), 1.5) ==
        Approx(0.463137116745).margin(0.002));
  CHECK(ChanceOfSignal(std::vector<CusumStep>(50, {std::log(.8 / .9), std::log(2), .1}), 2.2) ==
        Approx(0.150892736926).margin(0.002));
  CHECK(ChanceOfSignal(std::vector<CusumStep>(500, {std::log(.6 / .45), std::log(.4 / .55), .55}), 6) ==
        Approx(0.0368932081974).margin(0.001));
  const double limit = LimitForChance(tabular, 0.0974188530116).value();
  CHECK(ChanceOfSignal(tabular, limit) <= 0.0975);
  CHECK(limit == Approx(2.5).margin(0.1));  // the exact chance moves in steps
}

TEST_CASE("A signal is noted where its limit is reached, and the sum begins anew", "[series]") {
  const CusumChart worse = SequentialCusum(Outcomes("1111100"), {.05, .10, .1, .1}).value();
  CHECK(worse.first_case == 3u);  // four failures: 4 x 0.9276 > 2.94
  CHECK(worse.latest == CusumSignal::kWorse);
  CHECK(worse.points[4].from == Approx(4 * 0.927642).margin(1e-5));

  const CusumChart tabular = TabularCusum(Outcomes("11110"), {.05, .10, At(2)}).value();
  CHECK(tabular.points[2].signal == CusumSignal::kWorse);
  CHECK(tabular.points[3].score == Approx(std::log(2)));  // started anew
  CHECK(TabularCusum(std::vector<Outcome>(80, Outcome::kSuccess), {.10, .05, At(2)})->latest ==
        CusumSignal::kBetter);

  const CusumChart learned =
      LearningCusum(std::vector<Outcome>(40, Outcome::kSuccess), {.10, .10, At(2)}).value();
  CHECK(learned.first_case == 16u);  // 17 x 0.117783 = 2.002
  // Without a limit of the user's one is found.
  const CusumChart found = LearningCusum(kRun).value();
  CHECK(*found.upper > 0);
}

TEST_CASE("Cumulative sums of no cases, and of nonsense", "[series]") {
  for (const CusumChart& none : {SequentialCusum({}).value(), TabularCusum({}).value(),
                                 LearningCusum({}).value(), RiskAdjustedCusum({}, {}).value()}) {
    CHECK(none.points.empty());
  }
  CHECK(SequentialCusum(kRun, {.10, .05, .1, .1}).error().code == ErrorCode::kBadCall);
  CHECK_FALSE(SequentialCusum(kRun, {.05, .10, .6, .5}).ok());
  CHECK_FALSE(SequentialCusum(kRun, {std::nan(""), .10, .1, .1}).ok());
  CHECK_FALSE(TabularCusum(kRun, {.05, .05, At(2)}).ok());
  CHECK_FALSE(TabularCusum(kRun, {.05, .10, At(-1)}).ok());
  CHECK_FALSE(TabularCusum(kRun, {.05, .10, At(0)}).ok());
  CHECK_FALSE(TabularCusum(kRun, {.05, .10, {std::nullopt, 0, 100}}).ok());
  CHECK_FALSE(TabularCusum(kRun, {.05, .10, {std::nullopt, .05, 0}}).ok());
  CHECK_FALSE(LearningCusum(kRun, {.5, .5, At(2)}).ok());
  CHECK_FALSE(RiskAdjustedCusum(kRun, std::vector<double>(3, .05)).ok());
  CHECK(RiskAdjustedCusum(Outcomes("0"), std::vector<double>{std::nan("")}).error().message ==
        "The risk of a case is missing or does not lie between 0 and 1.");
  CHECK_FALSE(RiskAdjustedCusum(Outcomes("0"), std::vector<double>{.05}, {1, At(2)}).ok());
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/kappa.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

// Hout et al. 1987, married couples (`SexualFun` in R's package vcd).
const GradeTable kCouples{4, {7, 7, 2, 3, 2, 8, 3, 7, 1, 5, 4, 9, 2, 8, 9, 14}};

// Two of the three raters of the anxiety data of R's package irr.
const std::vector<int> kFirst{2, 2, 2, 3, 4, 4, 1, 2, 4, 1, 1, 5, 0, 4, 1, 1, 0, 1, 3, 2};
const std::vector<int> kSecond{2, 5, 3, 5, 1, 3, 1, 3, 2, 2, 1, 2, 2, 2, 1, 1, 0, 2, 2, 3};

}  // namespace

// R 4.2.2, vcd::Kappa: values and asymptotic standard errors.
TEST_CASE("Kappa and its standard error", "[agreement]") {
  const Kappa plain = CohenKappa(kCouples, KappaWeights::kEqual).value();
  CHECK(plain.n == 91);
  CHECK(plain.kappa.value == Approx(0.1293302540416).epsilon(1e-10));
  CHECK(plain.standard_error == Approx(0.0685985324807).epsilon(1e-10));
  CHECK(plain.kappa.low == Approx(0.1293302540416 - 1.959963985 * 0.0685985324807).epsilon(1e-8));
  const Kappa linear = CohenKappa(kCouples, KappaWeights::kLinear).value();
  CHECK(linear.kappa.value == Approx(0.2373806275580).epsilon(1e-10));
  CHECK(linear.standard_error == Approx(0.0783163347784).epsilon(1e-10));
  const Kappa quadratic = CohenKappa(kCouples, KappaWeights::kQuadratic).value();
  CHECK(quadratic.kappa.value == Approx(0.3320455862469).epsilon(1e-10));
  CHECK(quadratic.standard_error == Approx(0.0972975219586).epsilon(1e-10));

  const GradeTable anxiety = TabulateGrades(kFirst, kSecond, 6).value();
  CHECK(CohenKappa(anxiety, KappaWeights::kEqual)->kappa.value == Approx(0.119496855346).epsilon(1e-10));
  CHECK(CohenKappa(anxiety, KappaWeights::kEqual)->standard_error == Approx(0.119271297163).epsilon(1e-10));
  CHECK(CohenKappa(anxiety, KappaWeights::kLinear)->kappa.value == Approx(0.189189189189).epsilon(1e-10));
  CHECK(CohenKappa(anxiety, KappaWeights::kLinear)->standard_error == Approx(0.131295012347).epsilon(1e-10));
  CHECK(CohenKappa(anxiety, KappaWeights::kQuadratic)->kappa.value == Approx(0.296765119550).epsilon(1e-10));
  CHECK(CohenKappa(anxiety, KappaWeights::kQuadratic)->standard_error ==
        Approx(0.157006460654).epsilon(1e-10));
}

// By hand: p_o = 0.7, p_e = 0.5; standard error by vcd::Kappa.
TEST_CASE("Kappa of a table of two grades", "[agreement]") {
  const Kappa k = CohenKappa({2, {20, 5, 10, 15}}, KappaWeights::kEqual).value();
  CHECK(k.observed == Approx(0.7));
  CHECK(k.expected == Approx(0.5));
  CHECK(k.kappa.value == Approx(0.4));
  CHECK(k.standard_error == Approx(0.126996063).epsilon(1e-8));
}

// Cohen 1968, Psychol Bull 70:213, 200 cases; recomputed with R's psych::cohen.kappa.
TEST_CASE("Cohen's own weighted example", "[agreement]") {
  const GradeTable table{3, {88, 14, 18, 10, 40, 10, 2, 6, 12}};
  const std::vector<double> weights{0, 1, 3, 1, 0, 6, 3, 6, 0};
  CHECK(CohenKappa(table, KappaWeights::kEqual)->kappa.value == Approx(0.4915254).epsilon(1e-7));
  CHECK(WeightedKappa(table, weights)->kappa.value == Approx(0.3478261).epsilon(1e-7));
}

TEST_CASE("Kappa of small and one-sided tables", "[agreement]") {
  CHECK(CohenKappa({2, {0, 0, 0, 0}}, KappaWeights::kEqual).error().message ==
        "Kappa cannot be computed: there are no cases that both reviewers graded.");
  CHECK(CohenKappa({2, {9, 0, 0, 0}}, KappaWeights::kEqual).error().message ==
        "Kappa cannot be computed: both reviewers gave one and the same grade throughout.");
  const Kappa constant = CohenKappa({2, {9, 5, 0, 0}}, KappaWeights::kLinear).value();
  CHECK(constant.kappa.value == Approx(0).margin(1e-15));
  REQUIRE(constant.cautions.size() == 3);
  CHECK(constant.cautions[0].find("single grade") != std::string::npos);
  CHECK(constant.cautions[1] == "Only 14 pairs of grades: the limits are rough.");
  const Kappa perfect = CohenKappa({2, {9, 0, 0, 5}}, KappaWeights::kEqual).value();
  CHECK(perfect.kappa.value == 1);
  CHECK(perfect.kappa.high == 1);
  const Kappa opposed = CohenKappa({2, {0, 1, 1, 0}}, KappaWeights::kEqual).value();
  CHECK(opposed.kappa.value == -1);
  CHECK_FALSE(opposed.has_limits);
  CHECK_FALSE(constant.has_limits);
  CHECK_FALSE(CohenKappa({1, {5}}, KappaWeights::kEqual).ok());
  CHECK_FALSE(CohenKappa({2, {5, 1, 2}}, KappaWeights::kEqual).ok());
  CHECK_FALSE(CohenKappa({2, {5, -1, 2, 1}}, KappaWeights::kEqual).ok());
  CHECK_FALSE(CohenKappa({2, {5, std::nan(""), 2, 1}}, KappaWeights::kEqual).ok());
  CHECK_FALSE(WeightedKappa({2, {5, 1, 2, 1}}, std::vector<double>{0, 0, 0, 0}).ok());
  CHECK_FALSE(WeightedKappa({2, {5, 1, 2, 1}}, std::vector<double>{1, 1, 1, 0}).ok());
  CHECK_FALSE(TabulateGrades(std::vector<int>{0, 2}, std::vector<int>{0, 1}, 2).ok());
  CHECK_FALSE(TabulateGrades(std::vector<int>{-1}, std::vector<int>{0}, 2).ok());
  CHECK_FALSE(TabulateGrades(std::vector<int>{1}, std::vector<int>{}, 2).ok());
}

// No disagreement in 50: up to 1 - 0.025^(1/50) = 7.1122 % may differ (Clopper & Pearson 1934).
// The formula of kappa with that share, by hand: 1 - 0.071122 / 0.5 where the grades are even, and for linear
// weights of five grades ten times each, where chance disagrees by 0.4 of the widest, 1 - 0.071122 / 0.4.
TEST_CASE("A kappa without a disagreement has a lower limit and no sham precision", "[agreement]") {
  const Kappa even = CohenKappa({2, {25, 0, 0, 25}}, KappaWeights::kEqual).value();
  CHECK(even.kappa.value == 1);
  CHECK(even.kappa.low == Approx(1 - 0.071122 / 0.5).epsilon(1e-5));
  CHECK(even.kappa.high == 1);
  CHECK(even.has_limits);
  REQUIRE_FALSE(even.cautions.empty());
  CHECK(even.cautions.back().find("No disagreement was seen") == 0);
  GradeTable five{5, std::vector<double>(25, 0.0)};
  for (std::size_t i = 0; i < 5; ++i) five.cells[i * 6] = 10;
  CHECK(CohenKappa(five, KappaWeights::kLinear)->kappa.low == Approx(1 - 0.071122 / 0.4).epsilon(1e-5));
  // Two agreements leave nearly everything open.
  CHECK(CohenKappa({2, {1, 0, 0, 1}}, KappaWeights::kEqual)->kappa.low < -0.6);
  // Lengths of time are no counts, so nothing is known of how many could have differed.
  CHECK_FALSE(CohenKappa({2, {2.5, 0, 0, 3}}, KappaWeights::kEqual)->has_limits);
}

// A grade that nobody gave keeps its distance: 2, 3 and 5 lie as in the whole scale from 2 to 5.
TEST_CASE("Kappa of scores weighs by the distance of the scores", "[agreement]") {
  const std::vector<double> a{2, 3, 5, 5, 3, 2, 5, 3};
  const std::vector<double> b{2, 5, 5, 3, 3, 3, 5, 2};
  const std::vector<int> whole_a{0, 1, 3, 3, 1, 0, 3, 1};
  const std::vector<int> whole_b{0, 3, 3, 1, 1, 1, 3, 0};
  const GradeTable table = TabulateGrades(whole_a, whole_b, 4).value();
  for (const KappaWeights weights : {KappaWeights::kEqual, KappaWeights::kLinear, KappaWeights::kQuadratic}) {
    const Kappa scores = KappaOfScores(a, b, weights).value();
    const Kappa grades = CohenKappa(table, weights).value();
    CHECK(scores.kappa.value == Approx(grades.kappa.value).epsilon(1e-12));
    CHECK(scores.standard_error == Approx(grades.standard_error).epsilon(1e-12));
  }
  CHECK(KappaOfScores({}, {}, KappaWeights::kLinear).error().message ==
        "Kappa cannot be computed: there are no cases that both reviewers graded.");
  CHECK(KappaOfScores(std::vector<double>{4, 4}, std::vector<double>{4, 4}, KappaWeights::kLinear)
            .error()
            .message == "Kappa cannot be computed: both reviewers gave one and the same grade throughout.");
  CHECK_FALSE(KappaOfScores(a, std::vector<double>{1}, KappaWeights::kLinear).ok());
}

}  // namespace afterscope

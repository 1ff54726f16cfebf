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
  REQUIRE(constant.cautions.size() == 2);
  CHECK(constant.cautions[0].find("single grade") != std::string::npos);
  CHECK(constant.cautions[1] == "Only 14 cases: the limits are rough.");
  const Kappa perfect = CohenKappa({2, {9, 0, 0, 5}}, KappaWeights::kEqual).value();
  CHECK(perfect.kappa == Estimate{1, 1, 1, 0.95});
  CHECK(CohenKappa({2, {0, 1, 1, 0}}, KappaWeights::kEqual)->kappa.value == -1);
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

}  // namespace afterscope

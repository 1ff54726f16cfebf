// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/fleiss_kappa.hpp"
#include "metrics/agreement/krippendorff_alpha.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {
namespace {

// Fleiss 1971, table 1: 30 patients, 6 psychiatrists, 5 diagnoses (totals 26 26 30 55 43).
std::vector<int> Diagnoses() {
  std::vector<int> counts;
  for (const char c : std::string(
           "00060 03003 01401 00006 03030 20400 00402 20310 20040 00006 10050 11040 03300 10050 02031 "
           "00501 30012 51000 02040 10203 00006 01050 02013 20040 10041 05010 40002 02040 10500 00006"))
    if (c != ' ') counts.push_back(c - '0');
  return counts;
}

// A digit is a value, a dot is missing.
std::vector<std::optional<double>> Values(const std::string& text) {
  std::vector<std::optional<double>> values;
  for (const char c : text)
    if (c == '.')
      values.emplace_back();
    else if (c != ' ')
      values.emplace_back(c - '0');
  return values;
}

const std::string kFourCoders = "123321412... 1233224125.3 .3332342251. 12332441251.";
const std::string kThreeCoders = ".....34121133.3 1.213343....... ..21344.21133.4";

double AlphaOf(const std::string& text, std::size_t cases, AlphaMetric metric) {
  return KrippendorffAlphaOf(Values(text), cases, metric)->alpha;
}

}  // namespace

// R's irr::kappam.fleiss for the values (overall also by the formula); z and the limits from the formulas in
// R 4.2.2.
TEST_CASE("Fleiss' kappa of his own data", "[agreement]") {
  const FleissKappa k = FleissKappaOf(Diagnoses(), 5).value();
  CHECK(k.cases == 30);
  CHECK(k.reviewers == 6);
  CHECK(k.kappa == Approx(0.4302445).epsilon(1e-7));
  CHECK(k.z == Approx(17.651830583).epsilon(1e-9));
  const double expected[] = {0.245, 0.245, 0.520, 0.471, 0.566};
  for (std::size_t j = 0; j < 5; ++j) CHECK(k.of_category[j].value() == Approx(expected[j]).margin(5e-4));
  REQUIRE(k.limits.has_value());
  CHECK(k.limits->low == Approx(0.317644972803).epsilon(1e-9));
  CHECK(k.limits->high == Approx(0.542844067318).epsilon(1e-9));
}

// Two data sets with missing values, by R's irr::kripp.alpha.
TEST_CASE("Krippendorff's alpha for all metrics, values missing", "[agreement]") {
  CHECK(AlphaOf(kFourCoders, 12, AlphaMetric::kNominal) == Approx(0.7434211).epsilon(1e-7));
  CHECK(AlphaOf(kFourCoders, 12, AlphaMetric::kOrdinal) == Approx(0.8153875).epsilon(1e-6));
  CHECK(AlphaOf(kFourCoders, 12, AlphaMetric::kInterval) == Approx(0.8491071).epsilon(1e-7));
  CHECK(AlphaOf(kFourCoders, 12, AlphaMetric::kRatio) == Approx(0.7974028).epsilon(1e-6));
  CHECK(AlphaOf(kThreeCoders, 15, AlphaMetric::kNominal) == Approx(0.6913580).epsilon(1e-7));
  CHECK(AlphaOf(kThreeCoders, 15, AlphaMetric::kOrdinal) == Approx(0.8067214).epsilon(1e-6));
  CHECK(AlphaOf(kThreeCoders, 15, AlphaMetric::kInterval) == Approx(0.8108449).epsilon(1e-6));
  CHECK(AlphaOf(kThreeCoders, 15, AlphaMetric::kRatio) == Approx(0.8089437).epsilon(1e-6));
}

// Alpha as sums over pairs, and Tukey's jackknife over the 11 cases that have two values: R 4.2.2.
TEST_CASE("Krippendorff's alpha has limits", "[agreement]") {
  const KrippendorffAlpha nominal =
      KrippendorffAlphaOf(Values(kFourCoders), 12, AlphaMetric::kNominal).value();
  CHECK(nominal.units == 11);
  CHECK(nominal.values == 40);
  REQUIRE(nominal.limits.has_value());
  CHECK(nominal.limits->low == Approx(0.417384953782).epsilon(1e-9));
  CHECK(nominal.limits->high == 1);  // 1.069 is cut
  const KrippendorffAlpha interval =
      KrippendorffAlphaOf(Values(kFourCoders), 12, AlphaMetric::kInterval).value();
  CHECK(interval.limits->low == Approx(0.535296442649).epsilon(1e-9));
}

TEST_CASE("Several reviewers, small numbers", "[agreement]") {
  CHECK_FALSE(FleissKappaOf({}, 2).ok());
  CHECK(FleissKappaOf(std::vector<int>{3, 0}, 2).error().message ==
        "Fleiss' kappa cannot be computed: fewer than two cases.");
  CHECK(FleissKappaOf(std::vector<int>{3, 0, 3, 0}, 2).error().message ==
        "Fleiss' kappa cannot be computed: all chose one category.");
  CHECK_FALSE(FleissKappaOf(std::vector<int>{3, 0, 2, 0}, 2).ok());
  CHECK_FALSE(FleissKappaOf(std::vector<int>{1, 0, 0, 1}, 2).ok());
  CHECK_FALSE(FleissKappaOf(std::vector<int>{4, -1, 3, 0}, 2).ok());
  const FleissKappa two = FleissKappaOf(std::vector<int>{2, 0, 0, 0, 2, 0}, 3).value();
  CHECK(two.kappa == 1);
  CHECK_FALSE(two.limits.has_value());
  CHECK_FALSE(two.of_category[2].has_value());
  CHECK(two.cautions == std::vector<std::string>{"The cases are too few for limits."});

  CHECK_FALSE(KrippendorffAlphaOf({}, 0, AlphaMetric::kNominal).ok());
  CHECK(KrippendorffAlphaOf(Values("1.. .2."), 3, AlphaMetric::kNominal).error().message ==
        "Krippendorff's alpha cannot be computed: no case has values of two reviewers.");
  CHECK(KrippendorffAlphaOf(Values("111 111"), 3, AlphaMetric::kInterval).error().message ==
        "Krippendorff's alpha cannot be computed: all values are equal.");
  CHECK(KrippendorffAlphaOf(Values("12 12"), 2, AlphaMetric::kOrdinal)->alpha == 1);
  CHECK_FALSE(KrippendorffAlphaOf(Values("12 12"), 2, AlphaMetric::kOrdinal)->limits.has_value());
  const std::vector<std::optional<double>> negative{-1, 2, 1, 2};
  CHECK_FALSE(KrippendorffAlphaOf(negative, 2, AlphaMetric::kRatio).ok());
  const std::vector<std::optional<double>> bad{1, std::nan(""), 1, 2};
  CHECK_FALSE(KrippendorffAlphaOf(bad, 2, AlphaMetric::kNominal).ok());
}

}  // namespace afterscope

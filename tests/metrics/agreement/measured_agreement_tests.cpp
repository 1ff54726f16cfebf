// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/limits_of_agreement.hpp"
#include "metrics/agreement/repeatability.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

// Bland & Altman 1986, table 1: peak expiratory flow of 17 people, l/min, two meters, twice each.
const std::vector<double> kWright1{494, 395, 516, 434, 476, 557, 413, 442, 650,
                                   433, 417, 656, 267, 478, 178, 423, 427};
const std::vector<double> kWright2{490, 397, 512, 401, 470, 611, 415, 431, 638,
                                   429, 420, 633, 275, 492, 165, 372, 421};
const std::vector<double> kMini1{512, 430, 520, 428, 500, 600, 364, 380, 658,
                                 445, 432, 626, 260, 477, 259, 350, 451};
const std::vector<double> kMini2{525, 415, 508, 444, 500, 625, 460, 390, 642,
                                 432, 420, 605, 227, 467, 268, 370, 443};

std::vector<std::vector<double>> Twice(const std::vector<double>& a, const std::vector<double>& b) {
  std::vector<std::vector<double>> rows;
  for (std::size_t i = 0; i < a.size(); ++i) rows.push_back({a[i], b[i]});
  return rows;
}

}  // namespace

// Recomputed from the paper's data with R 4.2.2 (t.test, cor.test).
TEST_CASE("Limits of agreement of the two flow meters", "[agreement]") {
  const LimitsOfAgreement l = LimitsOfAgreementOf(kWright1, kMini1).value();
  CHECK(l.n == 17);
  CHECK(l.mean_difference.value == Approx(-2.117647).epsilon(1e-6));
  CHECK(l.mean_difference.low == Approx(-22.0488376966).epsilon(1e-9));
  CHECK(l.mean_difference.high == Approx(17.8135435790).epsilon(1e-9));
  CHECK(l.sd == Approx(38.765130).epsilon(1e-7));
  CHECK(l.lower.value == Approx(-78.0973).epsilon(1e-6));
  CHECK(l.upper.value == Approx(73.8620).epsilon(1e-6));
  CHECK((l.lower.high - l.lower.low) / 2 == Approx(2.11990529922 * 16.284611795).epsilon(1e-9));
  CHECK(l.trend == Approx(0.0836797216806).epsilon(1e-9));
  CHECK(l.cautions == std::vector<std::string>{"Only 17 pairs: the limits are wide."});
  // With two standard deviations as printed; the paper rounds to -79.7 (-114.3 to -45.1) and 75.5 (from
  // memory).
  const LimitsOfAgreement two = LimitsOfAgreementOf(kWright1, kMini1, 2).value();
  CHECK(two.lower.value == Approx(-79.6479).epsilon(1e-6));
  CHECK(two.upper.value == Approx(75.4126).epsilon(1e-6));
  CHECK(two.lower.low == Approx(-114.3).margin(0.2));
  CHECK(two.lower.high == Approx(-45.1).margin(0.2));
}

// From the paper's data; limits of the standard deviation with R's qchisq.
TEST_CASE("Repeatability of the two flow meters", "[agreement]") {
  const Repeatability wright = RepeatabilityOf(Twice(kWright1, kWright2)).value();
  CHECK(wright.coefficient_1986 == Approx(43.294).epsilon(1e-5));
  CHECK(wright.within_sd.value == Approx(15.3066690579).epsilon(1e-10));
  CHECK(wright.within_sd.low == Approx(11.4859345842).epsilon(1e-9));
  CHECK(wright.within_sd.high == Approx(22.9469009274).epsilon(1e-9));
  CHECK(wright.coefficient.value == Approx(0.98 * 43.2937979528).epsilon(1e-9));
  CHECK(RepeatabilityOf(Twice(kMini1, kMini2))->coefficient_1986 == Approx(56.316).epsilon(1e-5));
}

TEST_CASE("Measured agreement of small numbers", "[agreement]") {
  const std::vector<double> two{1, 2};
  const std::vector<double> three{1, 2, 3};
  CHECK(LimitsOfAgreementOf({}, {}).error().message ==
        "The limits of agreement cannot be computed from 0 values: at least 3 are needed.");
  CHECK_FALSE(LimitsOfAgreementOf(two, two).ok());
  CHECK_FALSE(LimitsOfAgreementOf(three, two).ok());
  CHECK_FALSE(LimitsOfAgreementOf(three, std::vector<double>{1, 2, std::nan("")}).ok());
  const LimitsOfAgreement same = LimitsOfAgreementOf(three, three).value();
  CHECK(same.lower == Estimate{0, 0, 0, 0.95});
  CHECK(same.trend == 0);
  const LimitsOfAgreement grows =
      LimitsOfAgreementOf(std::vector<double>{2, 4, 6, 8.1, 10}, std::vector<double>{1, 2, 3, 4, 5}).value();
  CHECK(grows.cautions.front().find("depends on the size") != std::string::npos);

  CHECK(RepeatabilityOf({}).error().message ==
        "The repeatability cannot be computed: nothing was marked twice.");
  const std::vector<std::vector<double>> once{{3}, {4}, {}};
  CHECK_FALSE(RepeatabilityOf(once).ok());
  const std::vector<std::vector<double>> copied{{3, 3}, {4, 4, 4}};
  CHECK(RepeatabilityOf(copied)->within_sd == Estimate{0, 0, 0, 0.95});
  CHECK(RepeatabilityOf(copied)->cautions.size() == 1);
  const std::vector<std::vector<double>> uneven{{1, 3}, {4}, {5, 6, 7}};  // (2 + 2) over 1 + 2 degrees
  CHECK(RepeatabilityOf(uneven)->within_sd.value == Approx(std::sqrt(4.0 / 3)));
  const std::vector<std::vector<double>> gap{{1, std::nan("")}};
  CHECK_FALSE(RepeatabilityOf(gap).ok());
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/quantiles.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numeric>
#include <vector>

namespace afterscope {
namespace {
const std::vector<double> kTenValues{16, 3, 8, 6, 20, 7, 8, 10, 15, 13};
}

// R 4.2.2, quantile(x, p, type = 7), and mad(x).
TEST_CASE("Quantiles are those of type 7", "[series]") {
  CHECK(Quantile(kTenValues, 0.10).value() == Approx(5.7));
  CHECK(Quantile(kTenValues, 0.25).value() == Approx(7.25));
  CHECK(Quantile(kTenValues, 0.50).value() == Approx(9));
  CHECK(Quantile(kTenValues, 0.75).value() == Approx(14.5));
  CHECK(Quantile(kTenValues, 0.90).value() == Approx(16.4));
  CHECK(Quantile(kTenValues, 0).value() == 3);
  CHECK(Quantile(kTenValues, 1).value() == 20);
  std::vector<double> ten(10);
  std::iota(ten.begin(), ten.end(), 1.0);
  CHECK(Quantile(ten, 0.05).value() == Approx(1.45));
  CHECK(Quantile(ten, 0.10).value() == Approx(1.9));
  CHECK(Quantile(ten, 0.25).value() == Approx(3.25));
  CHECK(Quantile(ten, 0.90).value() == Approx(9.1));
  CHECK(MedianAbsoluteDeviation(kTenValues).value() == Approx(5.1891).epsilon(1e-12));
}

TEST_CASE("Quartiles come together", "[series]") {
  const Quartiles q = QuartilesOf(kTenValues).value();
  CHECK(q.n == 10);
  CHECK(q.least == 3);
  CHECK(q.upper - q.lower == Approx(7.25));
  CHECK(q.median == 9);
  CHECK(q.most == 20);
}

// The binomial coverage of order statistics: P(Binomial(10, 1/2) < 2) = 11/1024 = 0.0107 and P(< 3) = 56/1024
// = 0.0547, so 95 % limits of ten values are the second and the ninth.
TEST_CASE("The median has limits by order statistics", "[series]") {
  const Estimate median = MedianWithLimits(kTenValues).value();
  CHECK(median.value == 9);
  CHECK(median.low == 6);
  CHECK(median.high == 16);
  // Six values: 1/64 on either side, so smallest and largest; five: 1/32, too much.
  const Estimate six = MedianWithLimits(std::vector<double>{1, 2, 3, 4, 5, 6}).value();
  CHECK(six.low == 1);
  CHECK(six.high == 6);
  CHECK(MedianWithLimits(std::vector<double>{1, 2, 3, 4, 5}).error().message ==
        "The median with limits cannot be computed: 5 values are too few for limits at a level of 0.95.");
  // Exactly at the edge: 1/64 a side is the level 1 - 1/32.
  CHECK(MedianWithLimits(std::vector<double>{1, 2, 3, 4, 5, 6}, 1 - 1.0 / 32).value().low == 1);
}

TEST_CASE("Quantiles of small numbers", "[series]") {
  CHECK(QuartilesOf({}).error().message ==
        "The median cannot be computed from 0 values: at least 1 is needed.");
  const Quartiles one = QuartilesOf(std::vector<double>{4}).value();
  CHECK(one.lower == 4);
  CHECK(one.upper == 4);
  CHECK(QuartilesOf(std::vector<double>{4, 8}).value().lower == 5);
  CHECK(QuartilesOf(std::vector<double>{1, 2, 6}).value().upper == 4);
  CHECK(QuartilesOf(std::vector<double>{7, 7, 7, 7}).value().upper == 7);
  CHECK(MedianAbsoluteDeviation(std::vector<double>{7, 7, 7}).value() == 0);
  CHECK_FALSE(Quantile(std::vector<double>{1, std::nan("")}, 0.5).ok());
  CHECK(Quantile(kTenValues, 1.5).error().code == ErrorCode::kBadCall);
  CHECK(Quantile(kTenValues, std::nan("")).error().code == ErrorCode::kBadCall);
}

}  // namespace afterscope

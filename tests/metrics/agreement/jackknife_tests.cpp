// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/jackknife.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <string>
#include <vector>

namespace afterscope {
namespace {

struct Pair {
  double x = 0;
  double y = 0;
};

using Pairs = std::vector<Pair>;

double RatioOf(const Pairs& pairs) {
  double x = 0;
  double y = 0;
  for (const Pair& pair : pairs) {
    x += pair.x;
    y += pair.y;
  }
  return y / x;
}

double CorrelationOf(const Pairs& pairs) {
  const double n = static_cast<double>(pairs.size());
  Pair mean;
  for (const Pair& pair : pairs) {
    mean.x += pair.x / n;
    mean.y += pair.y / n;
  }
  double xy = 0;
  double xx = 0;
  double yy = 0;
  for (const Pair& pair : pairs) {
    xy += (pair.x - mean.x) * (pair.y - mean.y);
    xx += (pair.x - mean.x) * (pair.x - mean.x);
    yy += (pair.y - mean.y) * (pair.y - mean.y);
  }
  return xy / std::sqrt(xx * yy);
}

Result<Estimate> LimitsOf(const Pairs& pairs, double (*statistic)(const Pairs&)) {
  const auto without = [&](std::size_t left_out) -> Result<double> {
    Pairs rest = pairs;
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(left_out));
    return statistic(rest);
  };
  return JackknifeLimits(statistic(pairs), pairs.size(), without);
}

}  // namespace

// Populations of ten cities in 1920 and 1930 (`city` in R's package boot; Davison & Hinkley 1997, table 1.3)
// and their ratio. R 4.2.2, boot 1.3-28.1: L = empinf(type = "jack"), standard error
// sqrt(sum((L - mean(L))^2) / (n (n - 1))), limits with qt(0.975, n - 1).
TEST_CASE("Limits of leaving out one case are those of R's package boot", "[agreement]") {
  const Estimate ratio = LimitsOf({{138, 143},
                                   {93, 104},
                                   {61, 69},
                                   {179, 260},
                                   {48, 75},
                                   {37, 63},
                                   {29, 50},
                                   {23, 48},
                                   {30, 111},
                                   {2, 50}},
                                  RatioOf)
                             .value();
  CHECK(ratio.value == Approx(1.5203125).epsilon(1e-9));
  CHECK(ratio.low == Approx(1.0796646586).epsilon(1e-9));
  CHECK(ratio.high == Approx(1.9609603414).epsilon(1e-9));
}

// Fifteen law schools, test and grade point (Efron 1979; the data and his jackknife standard error of the
// correlation, 0.1425, from memory). Digits as above: standard error 0.1425186186.
TEST_CASE("Limits of leaving out one case have Efron's standard error", "[agreement]") {
  const Estimate correlation = LimitsOf({{576, 3.39},
                                         {635, 3.30},
                                         {558, 2.81},
                                         {578, 3.03},
                                         {666, 3.44},
                                         {580, 3.07},
                                         {555, 3.00},
                                         {661, 3.43},
                                         {651, 3.36},
                                         {605, 3.13},
                                         {653, 3.12},
                                         {575, 2.74},
                                         {545, 2.76},
                                         {572, 2.88},
                                         {594, 2.96}},
                                        CorrelationOf)
                                   .value();
  CHECK(correlation.value == Approx(0.7763744913).epsilon(1e-9));
  CHECK(correlation.low == Approx(0.4707024553).epsilon(1e-8));
  // Student's factor for 14 degrees, 2.144787 (any table), back to the standard error.
  CHECK((correlation.high - correlation.value) / 2.144787 == Approx(0.1425).epsilon(2e-4));
}

TEST_CASE("Too few cases, and one that can't be left out, give no limits", "[agreement]") {
  CHECK(LimitsOf({{1, 2}, {2, 3}}, RatioOf).error().message ==
        "The pair of limits cannot be computed: fewer than 3 cases.");
  const auto never = [](std::size_t) -> Result<double> {
    return Error{ErrorCode::kNotComputable, "Nothing is left."};
  };
  CHECK(JackknifeLimits(1, 3, never).error().message == "Nothing is left.");
  CHECK_FALSE(JackknifeLimits(
                  1, 3, [](std::size_t) -> Result<double> { return 1.0; }, 1.5)
                  .ok());
}

}  // namespace afterscope

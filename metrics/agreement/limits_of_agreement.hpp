// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Limits of agreement from fewer pairs are rough themselves (common practice, no source).
inline constexpr std::size_t kFewForLimitsOfAgreement = 30;

// Between which differences two measurers of the same things will mostly lie (Bland & Altman 1986, Lancet
// i:307).
struct LimitsOfAgreement {
  std::size_t n = 0;
  Estimate mean_difference;  // a less b, Student's limits
  double sd = 0;             // of the differences
  Estimate lower;            // mean - factor sd, itself with limits
  Estimate upper;            // mean + factor sd
  double factor = 1.96;
  double trend = 0;  // correlation of difference and mean; far from 0: the limits depend on the size
  std::string method;
  std::vector<std::string> cautions;
};

// At least 3 pairs. The limits of the limits are those of the paper, Student's factor times sqrt(3 sd^2 / n);
// below kFewForLimitsOfAgreement a caution says that they are wide. A caution if the differences depend on
// the size (p < 0.05). All differences equal: limits of no width.
Result<LimitsOfAgreement> LimitsOfAgreementOf(std::span<const double> a, std::span<const double> b,
                                              double factor = 1.96, double level = 0.95);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

enum class PowerLawError {
  kAdditive,        // y = a x^b + error: least squares in the units of y (seconds)
  kMultiplicative,  // y = a x^b error: a straight line of ln y over ln x; y > 0. Its a x^b is a geometric
                    // mean
};

// y = a x^b, for x > 0. Which of the two errors is assumed gives different curves and is always named.
struct PowerLaw {
  PowerLawError error = PowerLawError::kAdditive;
  std::size_t n = 0;
  Estimate a;                   // y at x = 1
  Estimate b;                   // 0: no change; negative: y falls
  Estimate ratio_per_doubling;  // 2^b
  double residual_sd = 0;       // in the units of y; of ln y where multiplicative
  double residual_squares = 0;
  double a_variance = 0;  // of a; of ln a where multiplicative
  double b_variance = 0;
  double covariance = 0;
  std::string method;

  double At(double x) const;
  // Limits of the curve itself (not of a single case) at x: linearised (additive), exact on the logarithm
  // otherwise.
  Estimate WithLimits(double x) const;
};

// At least 4 pairs with at least two different x, all x > 0. Limits of a and b: Student's, with n - 2 degrees
// (linearised for kAdditive: y is not linear in b).
Result<PowerLaw> FitPowerLaw(std::span<const double> x, std::span<const double> y, PowerLawError error,
                             double level = 0.95);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <span>

namespace afterscope {

// All three take two or more passes (the mean first, corrected by the mean of the differences), so that many
// digits shared by all values cost none of the result's.

// At least 1 value.
Result<double> Mean(std::span<const double> values);

// Divided by n - 1. At least 2 values; 0 for equal ones.
Result<double> StandardDeviation(std::span<const double> values);

// sum (x_i - m)(x_i+1 - m) / sum (x_i - m)^2 in the order given. At least 3 values, not all equal.
Result<double> Lag1Autocorrelation(std::span<const double> values);

// The mean with Student's limits. At least 2 values; equal ones give limits of no width.
Result<Estimate> MeanWithLimits(std::span<const double> values, double level = 0.95);

}  // namespace afterscope

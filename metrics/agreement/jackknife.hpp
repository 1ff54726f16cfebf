// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <functional>

namespace afterscope {

// Limits for a figure that has no formula for them: it is computed again with each of n cases left out in
// turn; value +- Student's factor (n - 1 degrees) times the standard error of those (Tukey's jackknife; Efron
// & Tibshirani 1993, chapter 11). At least 3 cases. Refused if any of them, left out, leaves nothing to
// compute.
Result<Estimate> JackknifeLimits(double value, std::size_t n,
                                 const std::function<Result<double>(std::size_t left_out)>& without,
                                 double level = 0.95);

}  // namespace afterscope

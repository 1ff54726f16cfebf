// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Whether later values tend to be larger or smaller than earlier ones, without assuming a line or a
// distribution.
struct MannKendall {
  std::size_t n = 0;
  double s = 0;         // sum over i < j of sign(x_j - x_i)
  double variance = 0;  // [n (n-1) (2n+5) - sum t (t-1) (2t+5)] / 18
  double z = 0;         // (s -+ 1) / sqrt(variance), 0 for s = 0
  double p = 1;         // two-sided
  bool exact = false;   // p from the distribution of s (fewer than 50 values, no ties), else from z
  double tau = 0;       // s over sqrt(pairs (pairs - tied pairs)), -1 to 1; 0 if all values are equal
  std::string method;
  std::vector<std::string> cautions;
};

// Values in order of time; at least 4 (three can't reach p < 0.05, nor can four, which is said). All values
// equal: s = 0, p = 1, with a caution. Mann 1945, Econometrica 13:245; Kendall 1970.
Result<MannKendall> MannKendallTrend(std::span<const double> values);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// A straight line through medians: not moved by outliers.
struct TheilSen {
  std::size_t n = 0;
  Estimate slope;                     // change of y per unit of x: the median of the slopes of all pairs
  bool has_limits = true;             // false: too few pairs, the extreme slopes stand in their place
  double intercept_of_medians = 0;    // median(y) - slope median(x)
  double intercept_of_residuals = 0;  // median(y - slope x)
  std::string method;
  std::vector<std::string> cautions;
};

// At least 3 pairs with at least two different x. Pairs with equal x have no slope and are left out. Limits
// by Sen 1968 (J Am Stat Assoc 63:1379): order statistics of the slopes at half of (their number -+ factor
// sd(S)), rounded outwards to whole ranks; with few pairs they end at the smallest and the largest slope,
// which `has_limits` and a caution say. All y equal: slope 0 with limits of no width. Time grows with n^2.
Result<TheilSen> TheilSenLine(std::span<const double> x, std::span<const double> y, double level = 0.95);

}  // namespace afterscope

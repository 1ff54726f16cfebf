// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>

namespace afterscope {

// All quantiles of this program are of type 7 of Hyndman & Fan 1996 (Am Stat 50:361): linear between the
// order statistics at h = (n - 1) p + 1. This is how the program says so.
inline constexpr const char* kQuantileMethod = "quantiles of type 7 (Hyndman and Fan 1996)";

// At least 1 value, in any order; p in [0, 1].
Result<double> Quantile(std::span<const double> values, double p);

// The same from at least 1 finite value already in increasing order, unchecked.
double SortedQuantile(std::span<const double> sorted, double p);

struct Quartiles {
  std::size_t n = 0;
  double least = 0;
  double lower = 0;
  double median = 0;
  double upper = 0;
  double most = 0;
};

// At least 1 value. Of 1 value all five are it; whether quartiles of three cases are worth showing is the
// caller's decision, who has n.
Result<Quartiles> QuartilesOf(std::span<const double> values);

// 1.4826 times the median distance from the median: the standard deviation of normally distributed values,
// not moved by outliers. At least 2 values.
Result<double> MedianAbsoluteDeviation(std::span<const double> values);

// The median with limits that assume nothing about the distribution: order statistics whose binomial coverage
// is at least `level`. Refused where even the smallest and the largest value do not reach it (at 0.95: fewer
// than 6).
Result<Estimate> MedianWithLimits(std::span<const double> values, double level = 0.95);

}  // namespace afterscope

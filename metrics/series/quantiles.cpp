// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/quantiles.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/ranks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {

double SortedQuantile(std::span<const double> sorted, double p) {
  const double h = static_cast<double>(sorted.size() - 1) * p;
  const std::size_t below = std::min(static_cast<std::size_t>(h), sorted.size() - 1);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (h - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

Result<double> Quantile(std::span<const double> values, double p) {
  if (!(p >= 0 && p <= 1))
    return Error{ErrorCode::kBadCall,
                 fmt::format("A quantile at {} makes no sense: it lies between 0 and 1.", p)};
  AFTERSCOPE_TRY(CheckValues(values, 1, "The quantile"));
  return SortedQuantile(Sorted(values), p);
}

Result<Quartiles> QuartilesOf(std::span<const double> values) {
  AFTERSCOPE_TRY(CheckValues(values, 1, "The median"));
  const std::vector<double> sorted = Sorted(values);
  return Quartiles{sorted.size(),
                   sorted.front(),
                   SortedQuantile(sorted, 0.25),
                   SortedQuantile(sorted, 0.5),
                   SortedQuantile(sorted, 0.75),
                   sorted.back()};
}

Result<double> MedianAbsoluteDeviation(std::span<const double> values) {
  AFTERSCOPE_TRY(CheckValues(values, 2, "The median absolute deviation"));
  const double median = SortedQuantile(Sorted(values), 0.5);
  std::vector<double> distances;
  distances.reserve(values.size());
  for (const double v : values) distances.push_back(std::fabs(v - median));
  return 1.4826 * SortedQuantile(Sorted(distances), 0.5);
}

Result<Estimate> MedianWithLimits(std::span<const double> values, double level) {
  constexpr auto kName = "The median with limits";
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckValues(values, 1, kName));
  const int n = static_cast<int>(values.size());
  const double tail = (1 - level) / 2;
  // The interval from the k-th smallest to the k-th largest misses with twice P(Binomial(n, 1/2) < k).
  const int k = BinomialQuantile(tail, n, 0.5);
  const bool exact_tail = BinomialCdf(k, n, 0.5) <= tail;
  const int order = exact_tail ? k + 1 : k;
  if (order < 1)
    return NotComputable(kName, fmt::format("{} values are too few for limits at a level of {}", n, level));
  const std::vector<double> sorted = Sorted(values);
  const auto at = static_cast<std::size_t>(order - 1);
  return Estimate{SortedQuantile(sorted, 0.5), sorted[at], sorted[sorted.size() - 1 - at], level};
}

}  // namespace afterscope

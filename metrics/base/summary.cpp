// SPDX-License-Identifier: Apache-2.0
#include "metrics/base/summary.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

namespace afterscope {
namespace {

double QuantileOfSorted(const std::vector<double>& sorted, double share) {
  const double at = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const auto above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (at - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

}  // namespace

double Mean(const std::vector<double>& values) {
  assert(!values.empty());
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double StandardDeviation(const std::vector<double>& values) {
  if (values.size() < 2) return 0;
  const double mean = Mean(values);
  double sum = 0;
  for (const double v : values) sum += (v - mean) * (v - mean);
  return std::sqrt(sum / static_cast<double>(values.size() - 1));
}

double Quantile(std::vector<double> values, double share) {
  assert(!values.empty());
  std::sort(values.begin(), values.end());
  return QuantileOfSorted(values, share);
}

double Median(std::vector<double> values) { return Quantile(std::move(values), 0.5); }

Estimate EstimateFromDraws(std::vector<double> draws, double level) {
  std::sort(draws.begin(), draws.end());
  const double tail = (1 - level) / 2;
  return {Mean(draws), QuantileOfSorted(draws, tail), QuantileOfSorted(draws, 1 - tail), level};
}

}  // namespace afterscope

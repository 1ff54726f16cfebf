// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/spearman.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/ranks.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

namespace afterscope {
namespace {

constexpr std::size_t kMostForAllOrders = 9;

// The share of all orders whose sum of squared rank differences lies at least as far from its mean.
double ShareOfOrders(const std::vector<double>& x, const std::vector<double>& y) {
  std::vector<int> order(x.size());
  std::iota(order.begin(), order.end(), 1);
  const int n = static_cast<int>(x.size());
  const int twice_mean = n * (n * n - 1) / 3;
  int twice_seen = 0;
  for (std::size_t i = 0; i < x.size(); ++i)
    twice_seen += 2 * static_cast<int>(std::lround((x[i] - y[i]) * (x[i] - y[i])));
  const int far = std::abs(twice_seen - twice_mean);
  long hits = 0;
  long all = 0;
  do {
    int twice = 0;
    for (int i = 0; i < n; ++i)
      twice +=
          2 * (order[static_cast<std::size_t>(i)] - i - 1) * (order[static_cast<std::size_t>(i)] - i - 1);
    hits += std::abs(twice - twice_mean) >= far;
    ++all;
  } while (std::next_permutation(order.begin(), order.end()));
  return static_cast<double>(hits) / static_cast<double>(all);
}

double PearsonOfRanks(const std::vector<double>& x, const std::vector<double>& y) {
  const double mean = 0.5 * (static_cast<double>(x.size()) + 1);
  double xy = 0;
  double xx = 0;
  double yy = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    xy += (x[i] - mean) * (y[i] - mean);
    xx += (x[i] - mean) * (x[i] - mean);
    yy += (y[i] - mean) * (y[i] - mean);
  }
  return xy / std::sqrt(xx * yy);
}

}  // namespace

Result<Spearman> SpearmanCorrelation(std::span<const double> x, std::span<const double> y) {
  constexpr auto kName = "Spearman's correlation";
  AFTERSCOPE_TRY(CheckPairs(x, y, 3, kName));
  if (AllEqual(x) || AllEqual(y)) return NotComputable(kName, "all values are equal");
  const std::vector<double> rank_x = MidRanks(x);
  const std::vector<double> rank_y = MidRanks(y);
  Spearman out;
  out.n = x.size();
  out.rho = PearsonOfRanks(rank_x, rank_y);
  out.exact = x.size() <= kMostForAllOrders && TieSizes(x).empty() && TieSizes(y).empty();
  if (out.exact) {
    out.p = ShareOfOrders(rank_x, rank_y);
    out.method = "Spearman's rho, exact";
    return out;
  }
  const double df = static_cast<double>(x.size()) - 2;
  const double rest = std::max(0.0, 1 - out.rho * out.rho);
  out.p = rest == 0 ? 0.0 : TwoSidedStudentP(out.rho * std::sqrt(df / rest), df);
  out.method = "Spearman's rho, Student's t";
  return out;
}

}  // namespace afterscope

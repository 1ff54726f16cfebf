// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/kendall.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/ranks.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

struct TieSums {
  double pairs = 0;     // sum of t (t - 1)
  double triples = 0;   // sum of t (t - 1) (t - 2)
  double weighted = 0;  // sum of t (t - 1) (2 t + 5)
};

TieSums TiesOf(std::span<const double> values) {
  TieSums sums;
  for (const std::size_t size : TieSizes(values)) {
    const double t = static_cast<double>(size);
    sums.pairs += t * (t - 1);
    sums.triples += t * (t - 1) * (t - 2);
    sums.weighted += t * (t - 1) * (2 * t + 5);
  }
  return sums;
}

double PairScore(std::span<const double> x, std::span<const double> y) {
  double s = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    int row = 0;
    for (std::size_t j = i + 1; j < x.size(); ++j) {
      const int dx = (x[j] > x[i]) - (x[j] < x[i]);
      row += dx * ((y[j] > y[i]) - (y[j] < y[i]));
    }
    s += row;
  }
  return s;
}

double VarianceOfScore(double n, const TieSums& x, const TieSums& y) {
  double variance = (n * (n - 1) * (2 * n + 5) - x.weighted - y.weighted) / 18;
  variance += x.triples * y.triples / (9 * n * (n - 1) * (n - 2));
  variance += x.pairs * y.pairs / (2 * n * (n - 1));
  return variance;
}

}  // namespace

double ExactKendallP(std::size_t n, double s) {
  // share[k]: the share of permutations of i values that have k inversions.
  std::vector<double> share{1.0};
  for (std::size_t i = 2; i <= n; ++i) {
    std::vector<double> next(share.size() + i - 1, 0.0);
    for (std::size_t k = 0; k < share.size(); ++k)
      for (std::size_t moved = 0; moved < i; ++moved) next[k + moved] += share[k] / static_cast<double>(i);
    share = std::move(next);
  }
  const double pairs = 0.5 * static_cast<double>(n) * static_cast<double>(n - 1);
  const auto few = static_cast<std::size_t>(std::llround((pairs - std::fabs(s)) / 2));
  double tail = 0;
  for (std::size_t k = 0; k <= few && k < share.size(); ++k) tail += share[k];
  return std::min(1.0, 2 * tail);
}

Result<KendallTau> KendallCorrelation(std::span<const double> x, std::span<const double> y) {
  constexpr auto kName = "Kendall's correlation";
  AFTERSCOPE_TRY(CheckPairs(x, y, 3, kName));
  if (AllEqual(x) || AllEqual(y)) return NotComputable(kName, "all values are equal");
  const double n = static_cast<double>(x.size());
  const TieSums ties_x = TiesOf(x);
  const TieSums ties_y = TiesOf(y);

  KendallTau out;
  out.n = x.size();
  out.s = PairScore(x, y);
  out.variance = VarianceOfScore(n, ties_x, ties_y);
  const double pairs = n * (n - 1);
  out.tau_b = 2 * out.s / std::sqrt((pairs - ties_x.pairs) * (pairs - ties_y.pairs));
  const double sign = (out.s > 0) - (out.s < 0);
  out.z = (out.s - sign) / std::sqrt(out.variance);
  out.exact = x.size() < 50 && ties_x.pairs == 0 && ties_y.pairs == 0;
  out.p = out.exact ? ExactKendallP(x.size(), out.s) : TwoSidedNormalP(out.z);
  out.method = out.exact ? "Kendall's tau, exact" : "Kendall's tau-b, normal approximation with continuity";
  return out;
}

}  // namespace afterscope

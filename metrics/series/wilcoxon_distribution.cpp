// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/wilcoxon_distribution.hpp"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace afterscope {
namespace {

// Probabilities of U = 0 .. m n. Of the largest of all m + n values: it is one of the n with chance n / (m +
// n) and then exceeds all m.
std::vector<double> RankSumShares(int m, int n) {
  std::vector<std::vector<double>> row(static_cast<std::size_t>(n) + 1, {1.0});  // i = 0 of the first group
  for (int i = 1; i <= m; ++i) {
    row[0] = {1.0};
    for (int j = 1; j <= n; ++j) {
      std::vector<double> next(static_cast<std::size_t>(i) * static_cast<std::size_t>(j) + 1, 0.0);
      const std::vector<double>& fewer_first = row[static_cast<std::size_t>(j)];
      const std::vector<double>& fewer_second = row[static_cast<std::size_t>(j) - 1];
      for (std::size_t u = 0; u < fewer_first.size(); ++u) next[u] += fewer_first[u] * i / (i + j);
      for (std::size_t u = 0; u < fewer_second.size(); ++u)
        next[u + static_cast<std::size_t>(i)] += fewer_second[u] * j / (i + j);
      row[static_cast<std::size_t>(j)] = std::move(next);
    }
  }
  return row[static_cast<std::size_t>(n)];
}

std::vector<double> SignedRankShares(int n) {
  std::vector<double> shares{1.0};
  for (int rank = 1; rank <= n; ++rank) {
    std::vector<double> next(shares.size() + static_cast<std::size_t>(rank), 0.0);
    for (std::size_t v = 0; v < shares.size(); ++v) {
      next[v] += shares[v] / 2;
      next[v + static_cast<std::size_t>(rank)] += shares[v] / 2;
    }
    shares = std::move(next);
  }
  return shares;
}

double Cdf(const std::vector<double>& shares, int at) {
  double sum = 0;
  for (int k = 0; k <= at && k < static_cast<int>(shares.size()); ++k)
    sum += shares[static_cast<std::size_t>(k)];
  return std::min(sum, 1.0);
}

int QuantileOf(const std::vector<double>& shares, double p) {
  double sum = 0;
  for (std::size_t k = 0; k < shares.size(); ++k) {
    sum += shares[k];
    if (sum >= p * (1 - 1e-13)) return static_cast<int>(k);
  }
  return static_cast<int>(shares.size()) - 1;
}

}  // namespace

double RankSumCdf(int u, int m, int n) { return Cdf(RankSumShares(m, n), u); }
double SignedRankCdf(int v, int n) { return Cdf(SignedRankShares(n), v); }
int RankSumQuantile(double p, int m, int n) { return QuantileOf(RankSumShares(m, n), p); }
int SignedRankQuantile(double p, int n) { return QuantileOf(SignedRankShares(n), p); }

}  // namespace afterscope

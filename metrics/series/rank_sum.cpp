// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/rank_sum.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/ranks.hpp"
#include "metrics/series/wilcoxon_distribution.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr std::size_t kExactBelow = 50;

std::vector<double> Joined(std::span<const double> a, std::span<const double> b) {
  std::vector<double> both(a.begin(), a.end());
  both.insert(both.end(), b.begin(), b.end());
  return both;
}

double ExactP(const RankSum& r) {
  const int m = static_cast<int>(r.n_a);
  const int n = static_cast<int>(r.n_b);
  const int u = static_cast<int>(std::lround(r.u));
  return std::min(1.0, 2 * RankSumCdf(std::min(u, m * n - u), m, n));
}

}  // namespace

double RankSumVariance(std::size_t n_a, std::size_t n_b, std::span<const double> both) {
  const double m = static_cast<double>(n_a);
  const double n = static_cast<double>(n_b);
  const double all = m + n;
  if (all < 2) return 0;
  return m * n / 12 * (all + 1 - TieCubes(both) / (all * (all - 1)));
}

bool RankSumIsExact(std::span<const double> a, std::span<const double> b) {
  return a.size() < kExactBelow && b.size() < kExactBelow && TieSizes(Joined(a, b)).empty();
}

Result<RankSum> RankSumTest(std::span<const double> a, std::span<const double> b) {
  constexpr auto kName = "The comparison of the two groups";
  AFTERSCOPE_TRY(CheckValues(a, 1, kName));
  AFTERSCOPE_TRY(CheckValues(b, 1, kName));
  const std::vector<double> both = Joined(a, b);
  const std::vector<double> ranks = MidRanks(both);
  const double m = static_cast<double>(a.size());
  const double n = static_cast<double>(b.size());

  RankSum out;
  out.n_a = a.size();
  out.n_b = b.size();
  for (std::size_t i = a.size(); i < both.size(); ++i) out.u += ranks[i];
  out.u -= n * (n + 1) / 2;
  out.share = out.u / (m * n);
  const double variance = RankSumVariance(a.size(), b.size(), both);
  const double excess = out.u - m * n / 2;
  const double sign = (excess > 0) - (excess < 0);
  if (variance > 0) out.z = (excess - 0.5 * sign) / std::sqrt(variance);
  out.exact = RankSumIsExact(a, b);
  out.p = out.exact ? ExactP(out) : std::min(1.0, TwoSidedNormalP(out.z));
  out.method = out.exact ? "Wilcoxon rank sum, exact"
                         : "Wilcoxon rank sum, normal approximation with continuity and ties";
  if (AllEqual(both))
    out.cautions.emplace_back("All values are equal.");
  else if (2 * RankSumCdf(0, static_cast<int>(std::min<std::size_t>(a.size(), 50)),
                          static_cast<int>(std::min<std::size_t>(b.size(), 50))) >=
           0.05)
    out.cautions.emplace_back("So few cases cannot show a difference at p < 0.05.");
  return out;
}

}  // namespace afterscope

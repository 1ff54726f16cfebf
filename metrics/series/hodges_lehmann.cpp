// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/hodges_lehmann.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/pair_differences.hpp"
#include "metrics/series/rank_sum.hpp"
#include "metrics/series/wilcoxon_distribution.hpp"

#include <cmath>

namespace afterscope {
namespace {

// Which of the ordered differences is the lower limit, counted from 1; below 1: there is none.
double LowerOrder(std::span<const double> a, std::span<const double> b, bool exact, double level) {
  if (exact) return RankSumQuantile((1 - level) / 2, static_cast<int>(a.size()), static_cast<int>(b.size()));
  std::vector<double> both(a.begin(), a.end());
  both.insert(both.end(), b.begin(), b.end());
  const double pairs = static_cast<double>(a.size()) * static_cast<double>(b.size());
  return std::ceil(pairs / 2 - 0.5 -
                   NormalFactor(level) * std::sqrt(RankSumVariance(a.size(), b.size(), both)));
}

}  // namespace

Result<GroupDifference> HodgesLehmannDifference(std::span<const double> a, std::span<const double> b,
                                                double level) {
  constexpr auto kName = "The difference of the two groups";
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckValues(a, 1, kName));
  AFTERSCOPE_TRY(CheckValues(b, 1, kName));
  const bool exact = RankSumIsExact(a, b);
  GroupDifference out;
  out.n_a = a.size();
  out.n_b = b.size();
  out.method = exact ? "Hodges-Lehmann, exact limits" : "Hodges-Lehmann, limits by normal approximation";
  double order = LowerOrder(a, b, exact, level);
  if (order < 1) {
    order = 1;
    out.has_limits = false;
    out.cautions.emplace_back(
        "The cases are too few for full limits: the extreme differences stand in their place.");
  }
  const std::vector<PairGroups> groups{MakePairGroups(a, b)};
  out.difference.value = MedianDifference(groups);
  out.difference.low = DifferenceAt(groups, order);
  out.difference.high = DifferenceAt(groups, groups[0].Total() + 1 - order);
  out.difference.level = level;
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/stratified_difference.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/pair_differences.hpp"
#include "metrics/series/rank_sum.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr auto kStratifiedName = "The adjusted comparison";
constexpr std::size_t kFewCases = 10;

struct Sums {
  std::vector<PairGroups> groups;
  double weight = 0;  // of all pairs
  double excess = 0;  // weighted u less its mean
  double variance = 0;
};

Status Add(const Stratum& stratum, StratifiedDifference& out, Sums& sums) {
  AFTERSCOPE_TRY(CheckValues(stratum.a, 0, kStratifiedName));
  AFTERSCOPE_TRY(CheckValues(stratum.b, 0, kStratifiedName));
  const std::size_t cases = stratum.a.size() + stratum.b.size();
  if (stratum.a.empty() || stratum.b.empty()) {
    out.left_out += cases;
    return {};
  }
  ++out.strata;
  out.n_a += stratum.a.size();
  out.n_b += stratum.b.size();
  const double weight = 1 / (static_cast<double>(cases) + 1);
  AFTERSCOPE_ASSIGN(const RankSum test, RankSumTest(stratum.a, stratum.b));
  std::vector<double> both = stratum.a;
  both.insert(both.end(), stratum.b.begin(), stratum.b.end());
  sums.groups.push_back(MakePairGroups(stratum.a, stratum.b, weight));
  sums.weight += sums.groups.back().Total();
  sums.excess += weight * test.u - sums.groups.back().Total() / 2;
  sums.variance += weight * weight * RankSumVariance(stratum.a.size(), stratum.b.size(), both);
  return {};
}

void AppendCautions(StratifiedDifference& out) {
  if (out.left_out > 0)
    out.cautions.push_back(fmt::format("{} case{} no counterpart of equal difficulty and {} left out.",
                                       out.left_out, out.left_out == 1 ? " has" : "s have",
                                       out.left_out == 1 ? "is" : "are"));
  if (out.n_a + out.n_b < kFewCases) out.cautions.emplace_back("Fewer than 10 cases can be compared.");
}

}  // namespace

Result<StratifiedDifference> CompareWithinStrata(std::span<const Stratum> strata, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  StratifiedDifference out;
  Sums sums;
  for (const Stratum& stratum : strata) AFTERSCOPE_TRY(Add(stratum, out, sums));
  if (out.strata == 0) return NotComputable(kStratifiedName, "no difficulty holds cases of both groups");
  out.method = "van Elteren's test within strata, weighted Hodges-Lehmann difference";
  if (sums.variance > 0) {
    out.z = sums.excess / std::sqrt(sums.variance);
    out.p = TwoSidedNormalP(out.z);
  }
  const double reach = sums.weight / 2 - NormalFactor(level) * std::sqrt(sums.variance);
  out.has_limits = reach > 0;
  if (!out.has_limits)
    out.cautions.emplace_back(
        "The cases are too few for full limits: the extreme differences stand in their place.");
  const double least = std::max(reach, 0.0);
  out.difference.value = MedianDifference(sums.groups);
  out.difference.low = DifferenceAt(sums.groups, least);
  out.difference.high = DifferenceAt(sums.groups, sums.weight - least + 4e-12 * sums.weight);
  out.difference.level = level;
  AppendCautions(out);
  return out;
}

}  // namespace afterscope

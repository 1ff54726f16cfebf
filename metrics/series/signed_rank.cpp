// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/signed_rank.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/least_double.hpp"
#include "metrics/series/ranks.hpp"
#include "metrics/series/wilcoxon_distribution.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr std::size_t kSignedExactBelow = 50;

// Half the sum keeps its exactness where the sum itself would overflow.
double MeanOfTwo(double a, double b) { return a / 2 + b / 2; }

// How many means of two differences (each also with itself) are at most `at`; sorted in increasing order.
double MeansUpTo(const std::vector<double>& sorted, double at) {
  double count = 0;
  std::size_t j = sorted.size();
  for (std::size_t i = 0; i < sorted.size(); ++i) {
    while (j > i && MeanOfTwo(sorted[i], sorted[j - 1]) > at) --j;
    if (j <= i) break;
    count += static_cast<double>(j - i);
  }
  return count;
}

double MeanAt(const std::vector<double>& sorted, double order) {
  return LeastDouble(sorted.front(), sorted.back(),
                     [&](double at) { return MeansUpTo(sorted, at) >= order; });
}

double ExactP(const SignedRank& r) {
  const int all = static_cast<int>(r.n * (r.n + 1) / 2);
  const int v = static_cast<int>(std::lround(r.v));
  return std::min(1.0, 2 * SignedRankCdf(std::min(v, all - v), static_cast<int>(r.n)));
}

void Test(SignedRank& out, std::span<const double> differences) {
  std::vector<double> sizes;
  std::vector<bool> positive;
  for (const double d : differences) {
    if (d == 0) continue;
    sizes.push_back(std::fabs(d));
    positive.push_back(d > 0);
  }
  out.nonzero = sizes.size();
  const std::vector<double> ranks = MidRanks(sizes);
  for (std::size_t i = 0; i < ranks.size(); ++i)
    if (positive[i]) out.v += ranks[i];
  const double n = static_cast<double>(out.nonzero);
  const double excess = out.v - n * (n + 1) / 4;
  const double sign = (excess > 0) - (excess < 0);
  const double variance = n * (n + 1) * (2 * n + 1) / 24 - TieCubes(sizes) / 48;
  if (variance > 0) out.z = (excess - 0.5 * sign) / std::sqrt(variance);
  out.exact = out.n < kSignedExactBelow && out.nonzero == out.n && TieSizes(sizes).empty();
  out.p = out.exact ? ExactP(out) : std::min(1.0, TwoSidedNormalP(out.z));
}

double LowerOrder(const SignedRank& r, std::span<const double> differences, double level) {
  if (r.exact) return SignedRankQuantile((1 - level) / 2, static_cast<int>(r.n));
  std::vector<double> sizes;
  for (const double d : differences) sizes.push_back(std::fabs(d));
  const double n = static_cast<double>(r.n);
  const double variance = n * (n + 1) * (2 * n + 1) / 24 - TieCubes(sizes) / 48;
  return std::ceil(n * (n + 1) / 4 - 0.5 - NormalFactor(level) * std::sqrt(variance));
}

}  // namespace

Result<SignedRank> SignedRankTest(std::span<const double> differences, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckValues(differences, 1, "The comparison of the pairs"));
  SignedRank out;
  out.n = differences.size();
  Test(out, differences);
  out.method = out.exact ? "Wilcoxon signed rank, exact"
                         : "Wilcoxon signed rank, normal approximation with continuity and ties";
  if (out.nonzero == 0)
    out.cautions.emplace_back("No pair differs.");
  else if (out.n < 6)
    out.cautions.emplace_back("So few pairs cannot show a difference at p < 0.05.");

  const std::vector<double> sorted = Sorted(differences);
  const double means = 0.5 * static_cast<double>(out.n) * static_cast<double>(out.n + 1);
  double order = LowerOrder(out, differences, level);
  if (order < 1) {
    order = 1;
    out.cautions.emplace_back(
        "The pairs are too few for full limits: the extreme differences stand in their place.");
  }
  out.middle.value =
      MeanOfTwo(MeanAt(sorted, std::ceil(means / 2)), MeanAt(sorted, std::floor(means / 2) + 1));
  out.middle.low = MeanAt(sorted, order);
  out.middle.high = MeanAt(sorted, means + 1 - order);
  out.middle.level = level;
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/fleiss_kappa.hpp"

#include "metrics/agreement/jackknife.hpp"
#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr auto kFleissName = "Fleiss' kappa";

struct Sums {
  double cases = 0;
  double reviewers = 0;
  double pair_agreement = 0;   // sum over cases of n_ij (n_ij - 1) / (n (n - 1))
  std::vector<double> chosen;  // of each category
  std::vector<double> mixed;   // sum over cases of n_ij (n - n_ij)
};

double OwnAgreement(std::span<const int> row, double reviewers) {
  double sum = 0;
  for (const int count : row) sum += static_cast<double>(count) * (count - 1);
  return sum / (reviewers * (reviewers - 1));
}

Sums SumsOf(std::span<const int> counts, std::size_t categories) {
  Sums s;
  s.chosen.assign(categories, 0.0);
  s.mixed.assign(categories, 0.0);
  for (std::size_t j = 0; j < categories; ++j) s.reviewers += counts[j];
  for (std::size_t first = 0; first < counts.size(); first += categories) {
    const auto row = counts.subspan(first, categories);
    s.cases += 1;
    s.pair_agreement += OwnAgreement(row, s.reviewers);
    for (std::size_t j = 0; j < categories; ++j) {
      s.chosen[j] += row[j];
      s.mixed[j] += row[j] * (s.reviewers - row[j]);
    }
  }
  return s;
}

double ChanceAgreement(const Sums& s) {
  double sum = 0;
  for (const double chosen : s.chosen) sum += std::pow(chosen / (s.cases * s.reviewers), 2);
  return sum;
}

Status CheckCounts(std::span<const int> counts, std::size_t categories) {
  if (categories < 2 || counts.size() % categories != 0)
    return NotComputable(kFleissName, "it takes a whole row of at least two categories for each case");
  if (counts.size() / categories < 2) return NotComputable(kFleissName, "fewer than two cases");
  if (*std::min_element(counts.begin(), counts.end()) < 0)
    return NotComputable(kFleissName, "a count is below 0");
  long reviewers = -1;
  for (std::size_t first = 0; first < counts.size(); first += categories) {
    long here = 0;
    for (std::size_t j = 0; j < categories; ++j) here += counts[first + j];
    if (reviewers >= 0 && here != reviewers)
      return NotComputable(kFleissName, "not every case has the same number of reviewers");
    reviewers = here;
  }
  if (reviewers < 2) return NotComputable(kFleissName, "fewer than two reviewers");
  return {};
}

// z of Fleiss, Nee & Landis 1979: the standard error if there is no agreement beyond chance.
double NullZ(const Sums& s, double kappa) {
  double pq = 0;
  double skew = 0;
  for (const double chosen : s.chosen) {
    const double p = chosen / (s.cases * s.reviewers);
    pq += p * (1 - p);
    skew += p * (1 - p) * (1 - 2 * p);
  }
  const double variance = 2 * (pq * pq - skew) / (pq * pq * s.cases * s.reviewers * (s.reviewers - 1));
  return kappa / std::sqrt(variance);
}

std::vector<std::optional<double>> ByCategory(const Sums& s) {
  std::vector<std::optional<double>> out;
  for (std::size_t j = 0; j < s.chosen.size(); ++j) {
    const double p = s.chosen[j] / (s.cases * s.reviewers);
    const double chance = s.cases * s.reviewers * (s.reviewers - 1) * p * (1 - p);
    out.push_back(chance > 0 ? std::optional(1 - s.mixed[j] / chance) : std::nullopt);
  }
  return out;
}

// Kappa without the case at `left_out`, from the sums with it.
Result<double> Without(const Sums& s, std::span<const int> counts, std::size_t left_out) {
  const auto row = counts.subspan(left_out * s.chosen.size(), s.chosen.size());
  Sums less = s;
  less.cases -= 1;
  less.pair_agreement -= OwnAgreement(row, s.reviewers);
  for (std::size_t j = 0; j < row.size(); ++j) less.chosen[j] -= row[j];
  const double expected = ChanceAgreement(less);
  if (expected >= 1) return NotComputable(kFleissName, "all chose one category");
  return (less.pair_agreement / less.cases - expected) / (1 - expected);
}

}  // namespace

Result<FleissKappa> FleissKappaOf(std::span<const int> counts, std::size_t categories, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckCounts(counts, categories));
  const Sums s = SumsOf(counts, categories);
  if (std::count_if(s.chosen.begin(), s.chosen.end(), [](double c) { return c > 0; }) < 2)
    return NotComputable(kFleissName, "all chose one category");
  FleissKappa out;
  out.cases = counts.size() / categories;
  out.reviewers = static_cast<std::size_t>(s.reviewers);
  out.observed = s.pair_agreement / s.cases;
  out.expected = ChanceAgreement(s);
  out.kappa = (out.observed - out.expected) / (1 - out.expected);
  out.z = NullZ(s, out.kappa);
  out.p = TwoSidedNormalP(out.z);
  out.of_category = ByCategory(s);
  out.method = "Fleiss 1971, limits by leaving out one case at a time";
  const auto limits = JackknifeLimits(
      out.kappa, out.cases, [&](std::size_t i) { return Without(s, counts, i); }, level);
  if (limits)
    out.limits = Estimate{out.kappa, std::max(-1.0, limits->low), std::min(1.0, limits->high), level};
  else
    out.cautions.emplace_back("The cases are too few for limits.");
  return out;
}

}  // namespace afterscope

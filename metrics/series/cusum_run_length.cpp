// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/cusum_run_length.hpp"

#include "metrics/series/checks.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace afterscope {
namespace {

constexpr std::size_t kLevels = 4000;

// Moves the chance `mass` to `score`: onto the two nearest levels in proportion, or out of the chain if it
// signals.
void Land(std::vector<double>& next, double& signalled, double mass, double score, double limit) {
  if (score >= limit) {
    signalled += mass;
    return;
  }
  const double at = std::max(0.0, score) / limit * kLevels;
  const auto below = std::min(static_cast<std::size_t>(at), kLevels - 1);
  const double share = at - static_cast<double>(below);
  next[below] += mass * (1 - share);
  next[std::min(below + 1, kLevels - 1)] += mass * share;
}

}  // namespace

double ChanceOfSignal(std::span<const CusumStep> cases, double limit) {
  if (!(limit > 0)) return cases.empty() ? 0 : 1;
  std::vector<double> chance(kLevels, 0.0);
  chance[0] = 1;
  double signalled = 0;
  for (const CusumStep& step : cases) {
    std::vector<double> next(kLevels, 0.0);
    for (std::size_t level = 0; level < kLevels; ++level) {
      if (chance[level] < 1e-300) continue;
      const double score = limit * static_cast<double>(level) / kLevels;
      Land(next, signalled, chance[level] * step.risk, score + step.failure, limit);
      Land(next, signalled, chance[level] * (1 - step.risk), score + step.success, limit);
    }
    chance = std::move(next);
  }
  return signalled;
}

Result<double> LimitForChance(std::span<const CusumStep> cases, double chance) {
  constexpr auto kName = "The limit of the cumulative sum";
  if (!(chance > 0 && chance < 1))
    return NotComputable(kName, "the chance of a false signal is not between 0 and 1");
  double high = 0;
  for (const CusumStep& step : cases) high += std::max({step.success, step.failure, 0.0});
  if (!(high > 0) || !std::isfinite(high))
    return NotComputable(kName, "there are no cases that could raise it");
  double low = 0;
  high += 0.001;
  while (high - low > 0.001) {
    const double middle = 0.5 * (low + high);
    (ChanceOfSignal(cases, middle) <= chance ? high : low) = middle;
  }
  return high;
}

}  // namespace afterscope

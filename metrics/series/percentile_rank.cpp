// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/percentile_rank.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/proportion.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>

namespace afterscope {
namespace {
constexpr std::size_t kSmallReference = 20;
}

Result<PercentileRank> PercentileAgainst(std::span<const double> reference, double value, double level) {
  constexpr auto kName = "The percentile";
  AFTERSCOPE_TRY(CheckValues(reference, 1, kName));
  AFTERSCOPE_TRY(CheckValues({&value, 1}, 1, kName));
  std::int64_t below = 0;
  std::int64_t equal = 0;
  for (const double r : reference) {
    below += r < value;
    equal += r == value;
  }
  const auto n = static_cast<std::int64_t>(reference.size());
  AFTERSCOPE_ASSIGN(const Estimate lower, ClopperPearsonProportion(below, n, level));
  AFTERSCOPE_ASSIGN(const Estimate upper, ClopperPearsonProportion(below + equal, n, level));
  PercentileRank out;
  out.n = reference.size();
  out.method = "percentage of the reference below, equal ones half; Clopper-Pearson limits";
  const double share =
      (static_cast<double>(below) + 0.5 * static_cast<double>(equal)) / static_cast<double>(n);
  out.percentile = {100 * share, 100 * lower.low, 100 * upper.high, level};
  if (out.n < kSmallReference)
    out.cautions.push_back(fmt::format("The reference has only {} values.", out.n));
  return out;
}

}  // namespace afterscope

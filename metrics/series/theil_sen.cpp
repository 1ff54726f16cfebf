// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/theil_sen.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/pair_slopes.hpp"
#include "metrics/series/quantiles.hpp"
#include "metrics/series/ranks.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr auto kTrendName = "The trend line";

double TieTerm(std::span<const double> values) {
  double sum = 0;
  for (const std::size_t size : TieSizes(values)) {
    const double t = static_cast<double>(size);
    sum += t * (t - 1) * (2 * t + 5);
  }
  return sum;
}

double SdOfScore(std::span<const double> x, std::span<const double> y) {
  const double n = static_cast<double>(x.size());
  const double variance = (n * (n - 1) * (2 * n + 5) - TieTerm(x) - TieTerm(y)) / 18;
  return std::sqrt(std::max(0.0, variance));
}

}  // namespace

Result<TheilSen> TheilSenLine(std::span<const double> x, std::span<const double> y, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckPairs(x, y, 3, kTrendName));
  if (AllEqual(x)) return NotComputable(kTrendName, "all values lie at one place of the series");
  const std::size_t pairs = CountSlopes(x);
  const double count = static_cast<double>(pairs);
  const double reach = NormalFactor(level) * SdOfScore(x, y);

  TheilSen out;
  out.n = x.size();
  out.method = "Theil-Sen slope with the limits of Sen 1968";
  const double low = std::nearbyint((count - reach) / 2) - 1;
  const double high = std::nearbyint((count + reach) / 2);
  out.has_limits = low >= 0 && high <= count - 1;
  if (!out.has_limits)
    out.cautions.emplace_back(
        "The cases are too few for full limits: the extreme slopes stand in their place.");
  const auto low_at = static_cast<std::size_t>(std::max(low, 0.0));
  const auto high_at = static_cast<std::size_t>(std::min(high, count - 1));
  const std::vector<double> slopes = SlopesAt(x, y, {low_at, (pairs - 1) / 2, pairs / 2, high_at});
  out.slope.low = slopes[0];
  out.slope.value = 0.5 * (slopes[1] + slopes[2]);
  out.slope.high = slopes[3];
  out.slope.level = level;

  std::vector<double> residuals(x.size());
  for (std::size_t i = 0; i < x.size(); ++i) residuals[i] = y[i] - out.slope.value * x[i];
  out.intercept_of_residuals = SortedQuantile(Sorted(residuals), 0.5);
  out.intercept_of_medians =
      SortedQuantile(Sorted(y), 0.5) - out.slope.value * SortedQuantile(Sorted(x), 0.5);
  return out;
}

}  // namespace afterscope

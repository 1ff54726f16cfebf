// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/theil_sen.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/quantiles.hpp"
#include "metrics/series/ranks.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr auto kName = "The trend line";

std::vector<double> PairSlopes(std::span<const double> x, std::span<const double> y) {
  std::vector<double> slopes;
  slopes.reserve(x.size() * (x.size() - 1) / 2);
  for (std::size_t i = 0; i < x.size(); ++i)
    for (std::size_t j = i + 1; j < x.size(); ++j)
      if (x[i] != x[j]) slopes.push_back((y[j] - y[i]) / (x[j] - x[i]));
  return slopes;
}

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

double OrderStatistic(std::vector<double>& values, std::size_t at) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(at), values.end());
  return values[at];
}

double MedianOf(std::vector<double>& values) {
  const std::size_t half = values.size() / 2;
  const double upper = OrderStatistic(values, half);
  if (values.size() % 2 == 1) return upper;
  return 0.5 *
         (upper + *std::max_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(half)));
}

}  // namespace

Result<TheilSen> TheilSenLine(std::span<const double> x, std::span<const double> y, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckPairs(x, y, 3, kName));
  if (AllEqual(x)) return NotComputable(kName, "all values lie at one place of the series");
  std::vector<double> slopes = PairSlopes(x, y);
  const double count = static_cast<double>(slopes.size());
  const double reach = NormalFactor(level) * SdOfScore(x, y);

  TheilSen out;
  out.n = x.size();
  out.method = "Theil-Sen slope with the limits of Sen 1968";
  const double low = std::nearbyint((count - reach) / 2) - 1;
  const double high = std::nearbyint((count + reach) / 2);
  if (low < 0 || high > count - 1)
    out.cautions.emplace_back(
        "The cases are too few for full limits: the extreme slopes stand in their place.");
  const auto low_at = static_cast<std::size_t>(std::max(low, 0.0));
  const auto high_at = static_cast<std::size_t>(std::min(high, count - 1));
  out.slope.value = MedianOf(slopes);
  out.slope.low = OrderStatistic(slopes, low_at);
  out.slope.high = OrderStatistic(slopes, high_at);
  out.slope.level = level;

  std::vector<double> residuals(x.size());
  for (std::size_t i = 0; i < x.size(); ++i) residuals[i] = y[i] - out.slope.value * x[i];
  out.intercept_of_residuals = MedianOf(residuals);
  out.intercept_of_medians =
      SortedQuantile(Sorted(y), 0.5) - out.slope.value * SortedQuantile(Sorted(x), 0.5);
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/krippendorff_alpha.hpp"

#include "metrics/agreement/jackknife.hpp"
#include "metrics/series/checks.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr auto kAlphaName = "Krippendorff's alpha";

// The distinct values, and for each case how often it has each of them.
struct Units {
  std::vector<double> scale;
  std::vector<std::vector<double>> counts;
};

Result<Units> Gather(std::span<const std::optional<double>> values, std::size_t cases) {
  if (cases == 0 || values.size() % cases != 0)
    return NotComputable(kAlphaName, "it takes a whole row of cases for each reviewer");
  std::vector<std::vector<double>> given(cases);
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!values[i]) continue;
    AFTERSCOPE_TRY(CheckValues({&*values[i], 1}, 1, kAlphaName));
    given[i % cases].push_back(*values[i]);
  }
  std::erase_if(given, [](const auto& unit) { return unit.size() < 2; });
  Units units;
  for (const auto& unit : given) units.scale.insert(units.scale.end(), unit.begin(), unit.end());
  std::sort(units.scale.begin(), units.scale.end());
  units.scale.erase(std::unique(units.scale.begin(), units.scale.end()), units.scale.end());
  for (const auto& unit : given) {
    std::vector<double> row(units.scale.size(), 0.0);
    for (const double v : unit)
      row[static_cast<std::size_t>(std::lower_bound(units.scale.begin(), units.scale.end(), v) -
                                   units.scale.begin())] += 1;
    units.counts.push_back(std::move(row));
  }
  return units;
}

// Squared difference between values c < k of the scale; `totals` are how often each occurs.
double Difference(const std::vector<double>& scale, const std::vector<double>& totals, std::size_t c,
                  std::size_t k, AlphaMetric metric) {
  switch (metric) {
    case AlphaMetric::kNominal:
      return 1;
    case AlphaMetric::kInterval:
      return std::pow(scale[c] - scale[k], 2);
    case AlphaMetric::kRatio:
      return std::pow((scale[c] - scale[k]) / (scale[c] + scale[k]), 2);
    case AlphaMetric::kOrdinal:
      break;
  }
  double between = -(totals[c] + totals[k]) / 2;
  for (std::size_t g = c; g <= k; ++g) between += totals[g];
  return between * between;
}

Result<double> Alpha(const Units& units, AlphaMetric metric, std::optional<std::size_t> left_out) {
  const std::size_t size = units.scale.size();
  std::vector<double> totals(size, 0.0);
  std::vector<double> seen(size * size, 0.0);  // coincidences, c < k
  double n = 0;
  for (std::size_t u = 0; u < units.counts.size(); ++u) {
    if (u == left_out) continue;
    const std::vector<double>& row = units.counts[u];
    double in_unit = 0;
    for (const double count : row) in_unit += count;
    n += in_unit;
    for (std::size_t c = 0; c < size; ++c) {
      totals[c] += row[c];
      if (row[c] == 0) continue;
      for (std::size_t k = c + 1; k < size; ++k) seen[c * size + k] += row[c] * row[k] / (in_unit - 1);
    }
  }
  double observed = 0;
  double expected = 0;
  for (std::size_t c = 0; c < size; ++c)
    for (std::size_t k = c + 1; k < size; ++k) {
      if (totals[c] == 0 || totals[k] == 0) continue;
      const double difference = Difference(units.scale, totals, c, k, metric);
      observed += seen[c * size + k] * difference;
      expected += totals[c] * totals[k] * difference;
    }
  if (!(expected > 0)) return NotComputable(kAlphaName, "all values are equal");
  return 1 - (n - 1) * observed / expected;
}

}  // namespace

Result<KrippendorffAlpha> KrippendorffAlphaOf(std::span<const std::optional<double>> values,
                                              std::size_t cases, AlphaMetric metric, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_ASSIGN(const Units units, Gather(values, cases));
  if (units.counts.empty()) return NotComputable(kAlphaName, "no case has values of two reviewers");
  if (metric == AlphaMetric::kRatio && units.scale.front() < 0)
    return NotComputable(kAlphaName, "a value is below 0, so ratios mean nothing");
  KrippendorffAlpha out;
  out.units = units.counts.size();
  for (const auto& row : units.counts)
    for (const double count : row) out.values += static_cast<std::size_t>(count);
  AFTERSCOPE_ASSIGN(out.alpha, Alpha(units, metric, std::nullopt));
  out.method = "Krippendorff's alpha, limits by leaving out one case at a time";
  const auto limits = JackknifeLimits(
      out.alpha, out.units, [&](std::size_t u) { return Alpha(units, metric, u); }, level);
  if (limits)
    out.limits = Estimate{out.alpha, limits->low, std::min(1.0, limits->high), level};
  else
    out.cautions.emplace_back("The cases are too few for limits.");
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/pettitt.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/quantiles.hpp"
#include "metrics/series/ranks.hpp"
#include "metrics/series/succession.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace afterscope {

Result<ChangePoint> PettittChangePoint(std::span<const double> values) {
  constexpr auto kName = "The change point";
  AFTERSCOPE_TRY(CheckValues(values, 5, kName));
  if (AllEqual(values)) return NotComputable(kName, "all values are equal");
  const double n = static_cast<double>(values.size());
  const std::vector<double> ranks = MidRanks(values);

  ChangePoint out;
  out.n = values.size();
  out.method = "Pettitt 1979";
  double sum = 0;
  for (std::size_t t = 1; t <= values.size(); ++t) {
    sum += ranks[t - 1];
    out.trail.push_back(std::fabs(2 * sum - static_cast<double>(t) * (n + 1)));
    if (out.trail.back() <= out.statistic) continue;
    out.statistic = out.trail.back();
    out.last_before = t;
  }
  out.p = std::min(1.0, 2 * std::exp(-6 * out.statistic * out.statistic / (n * n * n + n * n)));
  const auto split = static_cast<std::ptrdiff_t>(out.last_before);
  out.median_before = SortedQuantile(Sorted({values.begin(), values.begin() + split}), 0.5);
  out.median_after = SortedQuantile(Sorted({values.begin() + split, values.end()}), 0.5);
  if (values.size() < 11) out.cautions.emplace_back("Fewer than 11 cases cannot show a change at p < 0.05.");
  AppendCorrelatedCaution(values, out.cautions);
  return out;
}

}  // namespace afterscope

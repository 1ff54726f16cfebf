// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/mann_kendall.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/kendall.hpp"
#include "metrics/series/succession.hpp"

#include <numeric>
#include <vector>

namespace afterscope {

Result<MannKendall> MannKendallTrend(std::span<const double> values) {
  AFTERSCOPE_TRY(CheckValues(values, 4, "The Mann-Kendall trend"));
  MannKendall out;
  out.n = values.size();
  if (AllEqual(values)) {
    out.method = "Mann-Kendall";
    out.cautions.emplace_back("All values are equal.");
    return out;
  }
  std::vector<double> order(values.size());
  std::iota(order.begin(), order.end(), 1.0);
  AFTERSCOPE_ASSIGN(const KendallTau tau, KendallCorrelation(order, values));
  out.s = tau.s;
  out.variance = tau.variance;
  out.z = tau.z;
  out.p = tau.p;
  out.exact = tau.exact;
  out.tau = tau.tau_b;
  out.method =
      tau.exact ? "Mann-Kendall, exact" : "Mann-Kendall, normal approximation with continuity and ties";
  if (values.size() < 5)
    out.cautions.emplace_back("So few cases cannot show a trend at p < 0.05.");
  else if (values.size() < 10)
    out.cautions.emplace_back("Fewer than 10 cases show only a strong trend.");
  AppendCorrelatedCaution(values, out.cautions);
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/tabular_cusum.hpp"

#include <cmath>
#include <vector>

namespace afterscope {

Result<CusumChart> TabularCusum(std::span<const Outcome> outcomes, const TabularDesign& design) {
  const double p0 = design.usual;
  const double p1 = design.changed;
  if (!(p0 > 0 && p0 < 1 && p1 > 0 && p1 < 1 && p0 != p1))
    return Error{ErrorCode::kBadCall,
                 "The usual and the changed failure rate must lie between 0 and 1 and differ."};
  const CusumStep step{std::log((1 - p1) / (1 - p0)), std::log(p1 / p0), p0};
  AFTERSCOPE_ASSIGN(const double limit, ResolveLimit(design.limit, {&step, 1}));
  const std::vector<CusumStep> steps(outcomes.size(), step);
  CusumChart out =
      RunLikelihoodCusum(outcomes, steps, limit, p1 > p0 ? CusumSignal::kWorse : CusumSignal::kBetter);
  out.method = "tabular cumulative sum of log-likelihood ratios";
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/risk_adjusted_cusum.hpp"

#include <fmt/format.h>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

Result<std::vector<CusumStep>> StepsFor(std::span<const double> risks, double odds_ratio) {
  std::vector<CusumStep> steps;
  for (const double p : risks) {
    if (!(p > 0 && p < 1))
      return Error{ErrorCode::kNotComputable,
                   "The risk of a case is missing or does not lie between 0 and 1."};
    const double scale = 1 - p + odds_ratio * p;
    steps.push_back({-std::log(scale), std::log(odds_ratio / scale), p});
  }
  return steps;
}

}  // namespace

Result<CusumChart> RiskAdjustedCusum(std::span<const Outcome> outcomes, std::span<const double> risks,
                                     const RiskAdjustedDesign& design) {
  const double ratio = design.odds_ratio;
  if (!(ratio > 0 && std::isfinite(ratio) && ratio != 1))
    return Error{ErrorCode::kBadCall, "The odds ratio must lie above 0 and differ from 1."};
  if (outcomes.size() != risks.size())
    return Error{ErrorCode::kBadCall,
                 fmt::format("{} outcomes do not pair with {} risks.", outcomes.size(), risks.size())};
  AFTERSCOPE_ASSIGN(const std::vector<CusumStep> steps, StepsFor(risks, ratio));
  CusumChart out;
  if (!steps.empty()) {
    AFTERSCOPE_ASSIGN(const double limit, ResolveLimit(design.limit, steps));
    out = RunLikelihoodCusum(outcomes, steps, limit, ratio > 1 ? CusumSignal::kWorse : CusumSignal::kBetter);
  }
  out.method = "risk-adjusted cumulative sum (Steiner et al. 2000)";
  return out;
}

}  // namespace afterscope

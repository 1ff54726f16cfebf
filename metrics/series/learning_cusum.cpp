// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/learning_cusum.hpp"

#include <cmath>
#include <vector>

namespace afterscope {

Result<CusumChart> LearningCusum(std::span<const Outcome> outcomes, const LearningDesign& design) {
  const double p0 = design.adequate;
  const double inadequate = design.adequate + design.allowance;
  if (!(p0 > 0 && design.allowance > 0 && inadequate < 1))
    return Error{ErrorCode::kBadCall,
                 "The adequate failure rate and the allowance must lie above 0 and together below 1."};
  const CusumStep step{std::log((1 - p0) / (1 - inadequate)), std::log(p0 / inadequate), inadequate};
  AFTERSCOPE_ASSIGN(const double limit, ResolveLimit(design.limit, {&step, 1}));
  const std::vector<CusumStep> steps(outcomes.size(), step);
  CusumChart out = RunLikelihoodCusum(outcomes, steps, limit, CusumSignal::kLearned);
  out.method = "learning-curve cumulative sum (Biau et al. 2008)";
  return out;
}

}  // namespace afterscope

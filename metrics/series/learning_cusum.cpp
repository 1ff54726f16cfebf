// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/learning_cusum.hpp"

#include <fmt/format.h>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

std::string Words(const CusumChart& chart, const LearningDesign& d) {
  if (chart.points.empty()) return "There are no cases yet.";
  if (!chart.first_case)
    return fmt::format(
        "After {} case{} a failure rate of {:g} % is not yet ruled out; that is not to say it is so high.",
        chart.points.size(), chart.points.size() == 1 ? "" : "s", 100 * (d.adequate + d.allowance));
  return fmt::format("By case {} a failure rate of {:g} % was ruled out: adequate.", *chart.first_case + 1,
                     100 * (d.adequate + d.allowance));
}

}  // namespace

Result<CusumChart> LearningCusum(std::span<const Outcome> outcomes, const LearningDesign& design) {
  const double p0 = design.adequate;
  const double inadequate = design.adequate + design.allowance;
  if (!(p0 > 0 && design.allowance > 0 && inadequate < 1))
    return Error{ErrorCode::kBadCall,
                 "The adequate failure rate and the allowance must lie above 0 and together below 1."};
  const CusumStep step{std::log((1 - p0) / (1 - inadequate)), std::log(p0 / inadequate), inadequate};
  std::string limit_words;
  AFTERSCOPE_ASSIGN(const double limit, ResolveLimit(design.limit, {&step, 1}, limit_words));
  const std::vector<CusumStep> steps(outcomes.size(), step);
  CusumChart out = RunLikelihoodCusum(outcomes, steps, limit, CusumSignal::kLearned);
  out.design = fmt::format("adequate {:g} %, inadequate {:g} %, {}", 100 * p0, 100 * inadequate, limit_words);
  out.words = Words(out, design);
  out.method = "learning-curve cumulative sum (Biau et al. 2008)";
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/tabular_cusum.hpp"

#include <fmt/format.h>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

std::string Words(const CusumChart& chart, const TabularDesign& d) {
  if (chart.points.empty()) return "There are no cases yet.";
  if (chart.latest == CusumSignal::kNone)
    return fmt::format("No sign of a change from {:g} % in {} case{}.", 100 * d.usual, chart.points.size(),
                       chart.points.size() == 1 ? "" : "s");
  return fmt::format("At case {} the failures became too {} for a rate of {:g} %.", *chart.latest_case + 1,
                     chart.latest == CusumSignal::kWorse ? "many" : "few", 100 * d.usual);
}

}  // namespace

Result<CusumChart> TabularCusum(std::span<const Outcome> outcomes, const TabularDesign& design) {
  const double p0 = design.usual;
  const double p1 = design.changed;
  if (!(p0 > 0 && p0 < 1 && p1 > 0 && p1 < 1 && p0 != p1))
    return Error{ErrorCode::kBadCall,
                 "The usual and the changed failure rate must lie between 0 and 1 and differ."};
  const CusumStep step{std::log((1 - p1) / (1 - p0)), std::log(p1 / p0), p0};
  std::string limit_words;
  AFTERSCOPE_ASSIGN(const double limit, ResolveLimit(design.limit, {&step, 1}, limit_words));
  const std::vector<CusumStep> steps(outcomes.size(), step);
  CusumChart out =
      RunLikelihoodCusum(outcomes, steps, limit, p1 > p0 ? CusumSignal::kWorse : CusumSignal::kBetter);
  out.design = fmt::format("{:g} % against {:g} %, {}", 100 * p0, 100 * p1, limit_words);
  out.words = Words(out, design);
  out.method = "tabular cumulative sum of log-likelihood ratios";
  return out;
}

}  // namespace afterscope

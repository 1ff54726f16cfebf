// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/plan_change.hpp"

#include "annotate/case/text.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <utility>

namespace afterscope {
namespace {

Result<CusumPlan> TimeLimitFrom(const std::string& text) {
  const auto at = text.rfind('=');
  const auto seconds = at == std::string::npos ? std::nullopt : NumberFrom(text.substr(at + 1));
  if (!seconds || !(*seconds > 0))
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't read the time limit '{}': give STEP=SECONDS, or whole=SECONDS.", text)};
  CusumPlan plan;
  plan.step = text.substr(0, at) == "whole" ? "" : text.substr(0, at);
  plan.limit_s = *seconds;
  plan.title = fmt::format("Longer than {}: {}", FormatLength(*seconds),
                           plan.step.empty() ? "the whole operation" : plan.step);
  return plan;
}

}  // namespace

Status ChangePlan(SeriesPlan& plan, const PlanChange& change) {
  std::vector<CusumPlan> cusums = plan.cusums;
  for (const std::string& text : change.time_limits) {
    AFTERSCOPE_ASSIGN(CusumPlan limit, TimeLimitFrom(text));
    cusums.push_back(std::move(limit));
  }
  for (CusumPlan& cusum : cusums) {
    SequentialDesign& d = cusum.design;
    d.acceptable = change.acceptable.value_or(d.acceptable);
    d.unacceptable = change.unacceptable.value_or(d.unacceptable);
    d.alpha = change.alpha.value_or(d.alpha);
    d.beta = change.beta.value_or(d.beta);
    if (const auto limits = SequentialLimitsOf(d); !limits.ok())
      return Error{ErrorCode::kBadCall, limits.error().message};
  }
  plan.cusums = std::move(cusums);
  return {};
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/likelihood_cusum.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr int kMostCases = 2000;

}  // namespace

Result<double> ResolveLimit(const CusumLimit& limit, std::span<const CusumStep> null_cases) {
  if (limit.limit) {
    if (!(*limit.limit > 0 && std::isfinite(*limit.limit)))
      return Error{ErrorCode::kBadCall, "The limit of the cumulative sum must lie above 0."};
    return *limit.limit;
  }
  if (limit.within_cases < 1 || limit.within_cases > kMostCases)
    return Error{ErrorCode::kBadCall,
                 fmt::format("The cases for the chance of a false signal must be 1 to {}.", kMostCases)};
  std::vector<CusumStep> cases;
  for (std::size_t i = 0; !null_cases.empty() && cases.size() < static_cast<std::size_t>(limit.within_cases);
       ++i)
    cases.push_back(null_cases[i % null_cases.size()]);
  return LimitForChance(cases, limit.false_signal);
}

CusumChart RunLikelihoodCusum(std::span<const Outcome> outcomes, std::span<const CusumStep> steps,
                              double limit, CusumSignal signal) {
  CusumChart out;
  out.upper = limit;
  double score = 0;
  for (std::size_t i = 0; i < outcomes.size(); ++i) {
    score = std::max(0.0, score + (outcomes[i] == Outcome::kFailure ? steps[i].failure : steps[i].success));
    const bool reached = score >= limit;
    out.points.push_back({score, reached ? signal : CusumSignal::kNone, 0});
    if (reached) score = 0;
    NoteSignal(out);
  }
  return out;
}

}  // namespace afterscope

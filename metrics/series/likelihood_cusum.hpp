// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/series/cusum_chart.hpp"
#include "metrics/series/cusum_run_length.hpp"

#include <optional>
#include <span>

namespace afterscope {

// Where the signal of a sum X = max(0, X + W) lies.
struct CusumLimit {
  std::optional<double> limit;  // given by the user; else found so that ...
  double false_signal = 0.05;   // ... a false signal within
  int within_cases = 100;       // so many cases has this chance
};

// The limit: as given (above 0), or by LimitForChance over `null_cases`, repeated in turn up to within_cases.
Result<double> ResolveLimit(const CusumLimit& limit, std::span<const CusumStep> null_cases);

// The sum over the cases with their weights, back to 0 after each signal. `steps` are as many as outcomes.
CusumChart RunLikelihoodCusum(std::span<const Outcome> outcomes, std::span<const CusumStep> steps,
                              double limit, CusumSignal signal);

}  // namespace afterscope

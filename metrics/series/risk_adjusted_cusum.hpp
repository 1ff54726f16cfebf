// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/series/cusum_chart.hpp"
#include "metrics/series/likelihood_cusum.hpp"

#include <span>

namespace afterscope {

// The likelihood cumulative sum where each case has its own risk of failure.
struct RiskAdjustedDesign {
  double odds_ratio =
      2;  // of failure, changed against usual: above 1 to find a worsening, below 1 an improvement
  CusumLimit limit;
};

// Weights for a case of risk p: failure ln(R/(1-p+Rp)), success ln(1/(1-p+Rp)) (Steiner et al. 2000). A false
// signal: at the risks given, those cases repeated in turn. One risk per outcome, each above 0 and below 1.
Result<CusumChart> RiskAdjustedCusum(std::span<const Outcome> outcomes, std::span<const double> risks,
                                     const RiskAdjustedDesign& design = {});

}  // namespace afterscope

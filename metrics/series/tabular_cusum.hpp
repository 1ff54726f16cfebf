// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/series/cusum_chart.hpp"
#include "metrics/series/likelihood_cusum.hpp"

#include <span>

namespace afterscope {

// The tabular cumulative sum for one failure rate.
struct TabularDesign {
  double usual = 0.05;    // p0
  double changed = 0.10;  // p1: above p0 to find a worsening, below it to find an improvement
  CusumLimit limit;
};

// Weights: failure ln(p1/p0), success ln((1-p1)/(1-p0)) (Page 1954; Steiner et al. 2000, Biostatistics
// 1:441). A false signal: at the usual rate. Refused unless both rates lie between 0 and 1 and differ. No
// cases: no points.
Result<CusumChart> TabularCusum(std::span<const Outcome> outcomes, const TabularDesign& design = {});

}  // namespace afterscope

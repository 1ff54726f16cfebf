// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/series/cusum_chart.hpp"
#include "metrics/series/likelihood_cusum.hpp"

#include <span>

namespace afterscope {

// When has a learner ruled out inadequate performance (LC-CUSUM).
struct LearningDesign {
  double adequate = 0.05;   // failure rate p0
  double allowance = 0.05;  // delta: p0 + delta is inadequate
  CusumLimit limit;
};

// Weights: success ln((1-p0)/(1-p0-delta)), failure ln(p0/(p0+delta)) (Biau et al. 2008, Br J Surg 95:925;
// Biau & Porcher 2010, Stat Med 29:1900). A false signal: competence claimed at the inadequate rate. No
// signal does not mean inadequate.
Result<CusumChart> LearningCusum(std::span<const Outcome> outcomes, const LearningDesign& design = {});

}  // namespace afterscope

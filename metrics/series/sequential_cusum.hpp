// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/series/cusum_chart.hpp"

#include <span>

namespace afterscope {

// Of a trainee: has he shown an acceptable failure rate, or an unacceptable one.
struct SequentialDesign {
  double acceptable = 0.05;    // failure rate p0
  double unacceptable = 0.10;  // p1, above p0
  double alpha = 0.10;         // risk of calling p0 unacceptable
  double beta = 0.10;          // risk of calling p1 acceptable
};

struct SequentialLimits {
  double s = 0;                     // a success lowers the sum by s, a failure raises it by 1 - s
  double acceptable = 0;            // h0: the sum falls by this: the rate is acceptable
  double unacceptable = 0;          // h1: the sum rises by this: it is not
  int successes_to_acceptable = 0;  // without any failure
};

// Wald's sequential test as used for surgical training: P = ln(p1/p0), Q = ln((1-p0)/(1-p1)), s = Q/(P+Q), h0
// = ln((1-alpha)/beta)/(P+Q), h1 = ln((1-beta)/alpha)/(P+Q) (Bolsin & Colson 2000, Int J Qual Health Care
// 12:433). Refused unless 0 < p0 < p1 < 1, alpha and beta are above 0 and together below 1.
Result<SequentialLimits> SequentialLimitsOf(const SequentialDesign& design);

// The sum over cases in order of time; it runs on after a decision, and the limits start anew from there. No
// cases: no points.
Result<CusumChart> SequentialCusum(std::span<const Outcome> outcomes, const SequentialDesign& design = {});

}  // namespace afterscope

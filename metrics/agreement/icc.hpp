// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// The six intraclass correlations of Shrout & Fleiss 1979 (Psychol Bull 86:420).
enum class IccForm {
  kOneWaySingle,       // ICC(1,1): each case has its own reviewers
  kAgreementSingle,    // ICC(2,1): the same reviewers, a sample of all; absolute agreement
  kConsistencySingle,  // ICC(3,1): the same reviewers, only these; a constant difference between them does
                       // not count
  kOneWayAverage,      // ICC(1,k), (2,k), (3,k): of the mean of the reviewers
  kAgreementAverage,
  kConsistencyAverage,
};

// Mean squares of the analysis of variance.
struct ScoreSquares {
  std::size_t cases = 0;
  std::size_t reviewers = 0;
  double between_cases = 0;  // df cases - 1
  double within_cases = 0;   // df cases (reviewers - 1)
  double reviewers_ms = 0;   // df reviewers - 1
  double error = 0;          // df (cases - 1) (reviewers - 1)
};

struct Icc {
  IccForm form = IccForm::kAgreementSingle;
  Estimate icc;
  bool has_limits = true;  // false where there is no error at all: low and high are then the value
  double f = 0;            // between cases over within (one-way) or over error
  double df1 = 0;
  double df2 = 0;
  double p = 1;  // of f: are the cases told apart at all
  std::string method;
  std::vector<std::string> cautions;
};

// `scores`: a row of reviewers for each case, none missing: cases that lack a score must be left out first.
// At least 2 cases and 2 reviewers. Refused if all scores are equal.
Result<ScoreSquares> ScoreSquaresOf(std::span<const double> scores, std::size_t reviewers);

// Limits as in the paper; for absolute agreement with the degrees of freedom of McGraw & Wong 1996 (Psychol
// Methods 1:30); averages by the Spearman-Brown formula. Where nothing but what the form counts is left
// (perfect agreement; for consistency a constant difference) it is 1, and no limits can be given: the scores
// are steps of a scale, and F knows no rounding. Averages are refused where the cases do not differ at all.
// Fewer than 10 cases: a caution (common practice, no source).
Result<Icc> IntraclassCorrelation(std::span<const double> scores, std::size_t reviewers, IccForm form,
                                  double level = 0.95);

}  // namespace afterscope

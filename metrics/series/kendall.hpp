// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>

namespace afterscope {

// Kendall's rank correlation between pairs.
struct KendallTau {
  std::size_t n = 0;
  double s = 0;         // pairs in the same order less pairs in the opposite one
  double variance = 0;  // of s if nothing is related, ties in both allowed for
  double tau_b = 0;
  double z = 0;        // with the continuity correction; 0 for s = 0
  double p = 1;        // two-sided
  bool exact = false;  // p from the distribution of s itself: fewer than 50 pairs and no ties; else from z
  std::string method;
};

// At least 3 pairs; refused if all x or all y are equal. Kendall 1970, Rank Correlation Methods.
Result<KendallTau> KendallCorrelation(std::span<const double> x, std::span<const double> y);

// P(|S| >= |s|) for n values without ties in random order: exact, by counting permutations by their
// inversions.
double ExactKendallP(std::size_t n, double s);

}  // namespace afterscope

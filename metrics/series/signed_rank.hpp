// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Whether paired differences lie round zero (Wilcoxon's signed rank test), and where they lie.
struct SignedRank {
  std::size_t n = 0;        // differences
  std::size_t nonzero = 0;  // those that take part in the test
  double v = 0;             // sum of the ranks of the positive ones among the sizes
  double z = 0;
  double p = 1;        // two-sided
  bool exact = false;  // fewer than 50 differences, none equal in size, none zero
  Estimate middle;  // median of the means of all pairs of differences (Hodges & Lehmann 1963), zeros included
  std::string method;
  std::vector<std::string> cautions;
};

// `differences` of the pairs, second less first. At least 1. All zero: p = 1, middle 0. Zeros are left out of
// the test, as Wilcoxon did; ties in size share ranks. Limits belong to the test (exact or normal with
// continuity); where the cases are too few for the level, the extreme ones, with a caution.
Result<SignedRank> SignedRankTest(std::span<const double> differences, double level = 0.95);

}  // namespace afterscope

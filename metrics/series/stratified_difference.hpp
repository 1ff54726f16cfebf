// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// The two groups' values within one stratum (one difficulty of the eye).
struct Stratum {
  std::vector<double> a;
  std::vector<double> b;
};

// A comparison of two groups, each case only with cases of its own stratum, so that a different case mix does
// not show as a difference between people.
struct StratifiedDifference {
  std::size_t strata = 0;  // that hold both groups
  std::size_t n_a = 0;     // cases in those
  std::size_t n_b = 0;
  std::size_t left_out = 0;  // cases of strata that hold only one group: nothing to compare them with
  Estimate difference;       // b less a
  bool has_limits = true;    // false: too few cases, the extreme differences stand in their place
  double z = 0;
  double p = 1;  // two-sided
  std::string method;
  std::vector<std::string> cautions;
};

// Test: van Elteren 1960 (Bull Inst Int Stat 37:351), rank sums within strata, each weighted by 1 / (cases +
// 1), ties allowed for, normal approximation without continuity. Difference and limits: Hodges and Lehmann's
// principle for that statistic, the weighted median of all differences within strata and the weighted orders
// at which the test turns. Refused if no stratum holds both groups. Assumes one shift in all strata. Fewer
// than 10 cases compared: a caution (the approximation; common practice, no source).
Result<StratifiedDifference> CompareWithinStrata(std::span<const Stratum> strata, double level = 0.95);

}  // namespace afterscope

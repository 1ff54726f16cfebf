// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Whether the values of one group tend to exceed those of another (Wilcoxon, Mann and Whitney).
struct RankSum {
  std::size_t n_a = 0;
  std::size_t n_b = 0;
  double u = 0;        // pairs in which b is larger, equal ones counted half
  double share = 0.5;  // u over all pairs: how often a value of b exceeds one of a
  double z = 0;        // of the normal approximation, with continuity and ties
  double p = 1;        // two-sided
  bool exact = false;  // p by counting: both groups under 50 and no ties
  std::string method;
  std::vector<std::string> cautions;
};

// At least 1 value in each group. All values equal: share 0.5, p = 1.
// Where the groups are so small that no p < 0.05 exists, a caution says so.
Result<RankSum> RankSumTest(std::span<const double> a, std::span<const double> b);

// The variance of u if the groups do not differ, ties allowed for. `both` holds the values of both groups.
double RankSumVariance(std::size_t n_a, std::size_t n_b, std::span<const double> both);

// Whether the exact distribution is used for these groups.
bool RankSumIsExact(std::span<const double> a, std::span<const double> b);

}  // namespace afterscope

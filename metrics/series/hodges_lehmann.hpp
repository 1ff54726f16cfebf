// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// By how much the values of one group exceed those of another.
struct GroupDifference {
  std::size_t n_a = 0;
  std::size_t n_b = 0;
  Estimate difference;     // b less a
  bool has_limits = true;  // false: too few cases, the extreme differences stand in their place
  std::string method;
  std::vector<std::string> cautions;
};

// The median of all differences b_j - a_i (Hodges & Lehmann 1963, Ann Math Stat 34:598), with the limits that
// belong to the rank-sum test: exact where that is, else by the normal approximation with continuity and ties
// (Lehmann 1975, Nonparametrics, 2.4). At least 1 value in each group; where the groups are too few for
// limits of that level the extreme differences stand in their place, which `has_limits` and a caution say.
// Assumes that the groups differ by a shift. The pairs are never formed.
Result<GroupDifference> HodgesLehmannDifference(std::span<const double> a, std::span<const double> b,
                                                double level = 0.95);

}  // namespace afterscope

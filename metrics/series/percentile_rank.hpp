// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

struct PercentileRank {
  std::size_t n = 0;    // of the reference
  Estimate percentile;  // 0 to 100
  std::string method;
  std::vector<std::string> cautions;
};

// Where one value lies in a reference group: the percentage of the reference below it, those equal counted
// half. Limits for the population that the reference was drawn from: Clopper and Pearson's, the lower for the
// share below, the upper for the share below or equal. At least 1 reference value; fewer than 20 with a
// caution (common practice, no source).
Result<PercentileRank> PercentileAgainst(std::span<const double> reference, double value,
                                         double level = 0.95);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <span>
#include <vector>

namespace afterscope {

struct LowessOptions {
  double share = 2.0 / 3;  // of the cases that each local line uses
  int robust_passes = 3;   // after the first; each gives outliers less weight
  double skip = 0.01;      // points nearer than this share of the range of x are interpolated
};

// A smooth line through a scatter, for the eye only: locally weighted straight lines (tricube weights),
// outliers weighed down (bisquare). x in increasing order, ties allowed; at least 3 pairs. One y per x.
// Cleveland 1979, J Am Stat Assoc 74:829.
Result<std::vector<double>> Lowess(std::span<const double> x, std::span<const double> y,
                                   const LowessOptions& options = {});

}  // namespace afterscope

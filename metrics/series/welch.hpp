// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// The difference of two means whose groups may spread differently (Welch 1947, Biometrika 34:28).
struct Welch {
  std::size_t n_a = 0;
  std::size_t n_b = 0;
  Estimate difference;  // mean of b less mean of a
  double t = 0;
  double df = 0;
  double p = 1;  // two-sided
  std::string method;
  std::vector<std::string> cautions;
};

// At least 2 values in each group; refused if neither group varies. Few values with outliers mislead it:
// under 15 a group a caution points to the rank sum (common practice, no source).
Result<Welch> WelchTest(std::span<const double> a, std::span<const double> b, double level = 0.95);

}  // namespace afterscope

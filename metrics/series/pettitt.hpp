// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Where a series most likely changed its level, if it did so once.
struct ChangePoint {
  std::size_t n = 0;
  std::size_t last_before = 0;  // how many values come before the change; the first of several equals
  double statistic = 0;         // largest |U_t|
  double p = 1;                 // 2 exp(-6 U^2 / (n^3 + n^2)), at most 1
  double median_before = 0;
  double median_after = 0;
  std::vector<double> trail;  // |U_t| for t = 1 to n
  std::string method;
  std::vector<std::string> cautions;
};

// Values in order of time; at least 5, not all equal. Fewer than 11 can never reach p < 0.05, which is said.
// Pettitt 1979, Applied Statistics 28:126.
Result<ChangePoint> PettittChangePoint(std::span<const double> values);

}  // namespace afterscope

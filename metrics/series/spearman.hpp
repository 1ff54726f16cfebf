// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>

namespace afterscope {

// Spearman's rank correlation: Pearson's between the ranks, equal values sharing theirs.
struct Spearman {
  std::size_t n = 0;
  double rho = 0;
  double p = 1;        // two-sided
  bool exact = false;  // by all orders (up to 9 pairs without ties); else by Student's t with n - 2
  std::string method;
};

// At least 3 pairs; refused if all x or all y are equal.
Result<Spearman> SpearmanCorrelation(std::span<const double> x, std::span<const double> y);

}  // namespace afterscope

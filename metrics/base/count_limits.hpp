// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>

namespace afterscope {

// The least k that a Poisson count of that mean exceeds in fewer than 2.5 % of all cases: what may have been
// overlooked, or marked that is none, on one side of limits of 95 %. 0 for no mean above 0.
inline int MostByChance(double mean) {
  constexpr double kTail = 0.025;
  if (!(mean > 0)) return 0;
  double term = std::exp(-mean), beyond = 1 - term;
  int k = 0;
  while (beyond > kTail) {
    term *= mean / ++k;
    beyond -= term;
  }
  return k;
}

}  // namespace afterscope

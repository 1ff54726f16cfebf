// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/jackknife.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"
#include "metrics/series/distribution.hpp"

#include <cmath>
#include <vector>

namespace afterscope {

Result<Estimate> JackknifeLimits(double value, std::size_t n,
                                 const std::function<Result<double>(std::size_t left_out)>& without,
                                 double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  if (n < 3) return NotComputable("The pair of limits", "fewer than 3 cases");
  std::vector<double> values;
  for (std::size_t i = 0; i < n; ++i) {
    AFTERSCOPE_ASSIGN(const double v, without(i));
    values.push_back(v);
  }
  AFTERSCOPE_ASSIGN(const double sd, StandardDeviation(values));
  const double cases = static_cast<double>(n);
  const double half = StudentFactor(level, cases - 1) * sd * (cases - 1) / std::sqrt(cases);
  return Estimate{value, value - half, value + half, level};
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/series/quantiles.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Values over time against their median: does the level stay the same.
struct RunChart {
  Quartiles quartiles;
  std::size_t useful = 0;         // cases not on the median; those on it neither make nor break a run
  std::size_t longest_run = 0;    // cases in a row on one side
  std::size_t longest_usual = 0;  // longer is a shift
  std::size_t crossings = 0;      // changes of side
  std::size_t fewest_usual = 0;   // fewer is a shift or a slow drift
  bool judged = false;            // false below 10 useful cases: the chart is drawn, nothing is claimed
  bool shift = false;             // longest_run > longest_usual or crossings < fewest_usual
  std::string method;
};

// Values in order of time; at least 1. A run is unusual above round(log2(useful) + 3), crossings below the 5
// % point of Binomial(useful - 1, 1/2) (Anhoej & Olesen 2014, PLoS ONE 9:e113825).
Result<RunChart> RunChartOf(std::span<const double> values);

}  // namespace afterscope

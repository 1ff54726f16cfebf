// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "metrics/base/estimate.hpp"

namespace afterscope {

// Of values that are not empty.
double Mean(const std::vector<double>& values);
// With n - 1; 0 for one value.
double StandardDeviation(const std::vector<double>& values);
// Of Hyndman and Fan's type 7 (linear between order statistics), for a share in [0, 1].
double Quantile(std::vector<double> values, double share);
double Median(std::vector<double> values);

// The mean of simulated values with the limits that hold `level` of them.
Estimate EstimateFromDraws(std::vector<double> draws, double level = 0.95);

}  // namespace afterscope

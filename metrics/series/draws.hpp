// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// Of simulated values: their mean, with the limits that hold `level` of them. Empty where there are none, or
// one is not finite (or beyond 1e150 in size).
std::optional<Estimate> EstimateFromDraws(std::vector<double> draws, double level = 0.95);

// The same after each draw was multiplied by (factor * (1 + relative_sd * z))^power, z a standard normal
// number of its own: a length (power 1) or an area (2) taken over by a scale. The same seed gives the same.
std::optional<Estimate> EstimateScaled(std::vector<double> draws, double factor, double relative_sd,
                                       int power, unsigned seed);

// Half of the interval that holds the middle 95 % of a normal error.
constexpr double kNormal95 = 1.959963984540054;

// A value with a normal error of that standard deviation.
constexpr Estimate EstimateNormal(double value, double sd) {
  return {value, value - kNormal95 * sd, value + kNormal95 * sd, 0.95};
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/draws.hpp"

#include "metrics/series/descriptive.hpp"
#include "metrics/series/quantiles.hpp"

#include <algorithm>
#include <cmath>
#include <random>

namespace afterscope {

std::optional<Estimate> EstimateFromDraws(std::vector<double> draws, double level) {
  const auto mean = Mean(draws);
  if (!mean.ok()) return std::nullopt;
  std::sort(draws.begin(), draws.end());
  const double tail = (1 - level) / 2;
  return Estimate{*mean, SortedQuantile(draws, tail), SortedQuantile(draws, 1 - tail), level};
}

std::optional<Estimate> EstimateScaled(std::vector<double> draws, double factor, double relative_sd,
                                       int power, unsigned seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  const auto unscaled = Mean(draws);
  if (!unscaled.ok()) return std::nullopt;
  for (double& draw : draws) draw *= std::pow(factor * (1 + relative_sd * normal(random)), power);
  std::optional<Estimate> out = EstimateFromDraws(std::move(draws));
  if (out) out->value = *unscaled * std::pow(factor, power);  // free of the simulation's own noise
  return out;
}

}  // namespace afterscope

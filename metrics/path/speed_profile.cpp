// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/speed_profile.hpp"

#include <boost/math/special_functions/bessel.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

// Mean of Rice's distribution: the length of a step of length `v` measured with that noise.
double MeanMeasured(double v, double sd) {
  const double ratio = v / sd;
  if (ratio > 5) return v * (1 + 1 / (2 * ratio * ratio) + 1 / (8 * std::pow(ratio, 4)));
  const double x = ratio * ratio / 4;
  const double laguerre =
      (1 + 2 * x) * boost::math::cyl_bessel_i(0, x) + 2 * x * boost::math::cyl_bessel_i(1, x);
  return std::sqrt(std::numbers::pi / 2) * sd * std::exp(-x) * laguerre;
}

}  // namespace

int CountMovements(const std::vector<double>& speed, double threshold) {
  return CountMovements(speed, threshold, threshold);
}

int CountMovements(const std::vector<double>& speed, double threshold, double ends_at) {
  int count = 0;
  bool moving = false;
  for (const double v : speed) {
    if (!moving && v > threshold) {
      ++count;
      moving = true;
    } else if (moving && v <= ends_at) {
      moving = false;
    }
  }
  return count;
}

int CountPeaks(const std::vector<double>& speed, double threshold) {
  int count = 0;
  for (std::size_t i = 1; i + 1 < speed.size(); ++i)
    count += speed[i] >= threshold && speed[i] > speed[i - 1] && speed[i] >= speed[i + 1];
  return count;
}

double StillShare(const std::vector<double>& speed, double threshold) {
  if (speed.empty()) return 1;
  const auto still = std::count_if(speed.begin(), speed.end(), [&](double v) { return v <= threshold; });
  return static_cast<double>(still) / static_cast<double>(speed.size());
}

double LessNoise(double measured, double sd) {
  if (!(sd > 0)) return measured;
  // Along the step noise takes away as much as it adds; only what lies across it lengthens.
  const double guess = std::sqrt(std::max(0.0, measured * measured - sd * sd));
  return measured - (MeanMeasured(guess, sd) - guess);
}

}  // namespace afterscope

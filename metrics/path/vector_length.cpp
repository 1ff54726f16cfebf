// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/vector_length.hpp"

#include "metrics/path/speed_profile.hpp"
#include "metrics/series/draws.hpp"

#include <boost/math/distributions/non_central_chi_squared.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kTail = 0.025;
constexpr double kFar = 8;  // in standard deviations: from there on noise across the vector no longer matters

// The length, in standard deviations, from which a square of at most `square` comes with that probability; 0
// where it is less probable even from none.
double LengthAt(double square, double probability) {
  if (1 - std::exp(-square / 2) <= probability) return 0;
  using Distribution = boost::math::non_central_chi_squared_distribution<double>;
  return std::sqrt(Distribution::find_non_centrality(2, square, probability));
}

}  // namespace

Estimate VectorLength(double measured, double sd) {
  if (!(sd > 0)) return {measured, measured, measured};
  const double value = std::max(0.0, LessNoise(measured, sd));
  const double ratio = measured / sd;
  if (ratio > kFar) return {value, value - kNormal95 * sd, value + kNormal95 * sd};
  // What is shorter than noise usually makes says no more than that usual length does.
  const double usual = 2 * std::log(2.0);
  const double low = sd * LengthAt(ratio * ratio, 1 - kTail);
  const double high = sd * LengthAt(std::max(ratio * ratio, usual), kTail);
  return {std::clamp(value, low, high), low, high};
}

}  // namespace afterscope

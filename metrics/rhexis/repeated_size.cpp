// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/repeated_size.hpp"

#include "metrics/series/draws.hpp"

#include <boost/math/distributions/chi_squared.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kUsualDegrees = 4;

Estimate RepeatabilityFrom(double squares, double degrees) {
  const boost::math::chi_squared spread(degrees);
  const auto of = [&](double chi_squared) {
    return kNormal95 * std::numbers::sqrt2 * std::sqrt(squares / chi_squared);
  };
  return {of(degrees), of(boost::math::quantile(spread, 0.975)), of(boost::math::quantile(spread, 0.025)),
          0.95};
}

}  // namespace

std::optional<RepeatedSize> PoolSizes(const std::vector<SizeOnFrame>& sizes, double shared_relative_sd) {
  if (sizes.size() < 2) return std::nullopt;
  const auto n = static_cast<double>(sizes.size()), degrees = n - 1;
  double mean = 0, marking = 0, squares = 0;
  for (const SizeOnFrame& s : sizes) mean += s.value / n, marking += s.sd * s.sd / n;
  for (const SizeOnFrame& s : sizes) squares += std::pow(s.value - mean, 2);
  const double variance = (kUsualDegrees * marking + squares) / (kUsualDegrees + degrees);
  if (!(variance > 0)) return std::nullopt;
  return RepeatedSize{EstimateNormal(mean, std::hypot(std::sqrt(variance / n), shared_relative_sd * mean)),
                      RepeatabilityFrom(squares, degrees)};
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/descriptive.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"

#include <cmath>

namespace afterscope {
namespace {

double PlainMean(std::span<const double> values) {
  const double n = static_cast<double>(values.size());
  double first = 0;
  for (const double v : values) first += v / n;
  double correction = 0;
  for (const double v : values) correction += v - first;
  return first + correction / n;
}

// The rounding of the mean itself is taken out again by the second sum (Chan, Golub & LeVeque 1983).
double SumOfSquares(std::span<const double> values, double mean) {
  double squares = 0;
  double rest = 0;
  for (const double v : values) {
    squares += (v - mean) * (v - mean);
    rest += v - mean;
  }
  return squares - rest * rest / static_cast<double>(values.size());
}

}  // namespace

Result<double> Mean(std::span<const double> values) {
  AFTERSCOPE_TRY(CheckValues(values, 1, "The mean"));
  return PlainMean(values);
}

Result<double> StandardDeviation(std::span<const double> values) {
  AFTERSCOPE_TRY(CheckValues(values, 2, "The standard deviation"));
  if (AllEqual(values)) return 0.0;
  return std::sqrt(SumOfSquares(values, PlainMean(values)) / static_cast<double>(values.size() - 1));
}

Result<double> Lag1Autocorrelation(std::span<const double> values) {
  constexpr auto kName = "The autocorrelation";
  AFTERSCOPE_TRY(CheckValues(values, 3, kName));
  if (AllEqual(values)) return NotComputable(kName, "all values are equal");
  const double mean = PlainMean(values);
  double products = 0;
  for (std::size_t i = 0; i + 1 < values.size(); ++i) products += (values[i] - mean) * (values[i + 1] - mean);
  return products / SumOfSquares(values, mean);
}

Result<Estimate> MeanWithLimits(std::span<const double> values, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckValues(values, 2, "The mean with limits"));
  const double n = static_cast<double>(values.size());
  const double mean = PlainMean(values);
  AFTERSCOPE_ASSIGN(const double sd, StandardDeviation(values));
  const double half = StudentFactor(level, n - 1) * sd / std::sqrt(n);
  return Estimate{mean, mean - half, mean + half, level};
}

}  // namespace afterscope

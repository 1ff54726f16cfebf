// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/succession.hpp"

#include "metrics/series/descriptive.hpp"

#include <fmt/format.h>

#include <cmath>

namespace afterscope {
namespace {

std::vector<double> WithoutLine(std::span<const double> values, double mean) {
  const double middle = 0.5 * static_cast<double>(values.size() - 1);
  double xy = 0;
  double xx = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double x = static_cast<double>(i) - middle;
    xy += x * (values[i] - mean);
    xx += x * x;
  }
  std::vector<double> rest(values.begin(), values.end());
  for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= mean + xy / xx * (static_cast<double>(i) - middle);
  return rest;
}

}  // namespace

void AppendCorrelatedCaution(std::span<const double> values, std::vector<std::string>& cautions) {
  if (values.size() < 10) return;
  const Result<double> mean = Mean(values);
  if (!mean) return;
  const Result<double> lag1 = Lag1Autocorrelation(WithoutLine(values, *mean));
  if (!lag1 || *lag1 <= 1.96 / std::sqrt(static_cast<double>(values.size()))) return;
  cautions.push_back(
      fmt::format("Successive cases resemble each other (lag-1 autocorrelation {:.2f}): p is too small and "
                  "limits are too narrow.",
                  *lag1));
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/repeatability.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"
#include "metrics/series/distribution.hpp"

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr auto kRepeatabilityName = "The repeatability";
constexpr std::size_t kFewDegrees = 10;

Estimate Times(const Estimate& e, double k) { return {k * e.value, k * e.low, k * e.high, e.level}; }

}  // namespace

Result<Repeatability> RepeatabilityOf(std::span<const std::vector<double>> marks, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  Repeatability out;
  double squares = 0;
  std::vector<double> means;
  for (const std::vector<double>& row : marks) {
    AFTERSCOPE_TRY(CheckValues(row, 0, kRepeatabilityName));
    if (row.size() < 2) continue;
    AFTERSCOPE_ASSIGN(const double sd, StandardDeviation(row));
    AFTERSCOPE_ASSIGN(const double mean, Mean(row));
    squares += sd * sd * static_cast<double>(row.size() - 1);
    out.degrees += row.size() - 1;
    means.push_back(mean);
  }
  out.things = means.size();
  if (out.things == 0) return NotComputable(kRepeatabilityName, "nothing was marked twice");
  const double df = static_cast<double>(out.degrees);
  const double tail = (1 - level) / 2;
  out.within_sd = {std::sqrt(squares / df), std::sqrt(squares / ChiSquareQuantile(1 - tail, df)),
                   std::sqrt(squares / ChiSquareQuantile(tail, df)), level};
  out.coefficient = Times(out.within_sd, 1.96 * std::numbers::sqrt2);
  out.coefficient_1986 = 2 * std::numbers::sqrt2 * out.within_sd.value;
  const Result<double> between = StandardDeviation(means);
  if (between && *between > 0) out.range_share = out.within_sd.value / *between;
  out.method = "within-subject standard deviation (Bland and Altman 1996)";
  if (squares == 0)
    out.cautions.emplace_back("The repeated marks are identical: were they copied?");
  else if (out.degrees < kFewDegrees)
    out.cautions.emplace_back("Few repeated marks: the limits are wide.");
  return out;
}

}  // namespace afterscope

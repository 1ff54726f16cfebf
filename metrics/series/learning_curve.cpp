// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/learning_curve.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/succession.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace afterscope {
namespace {

constexpr auto kLearningName = "The learning curve";
constexpr std::size_t kNeverBelow = 9;

double Aicc(double squares, double n, double parameters) {
  return n * std::log(squares / n) + 2 * parameters +
         2 * parameters * (parameters + 1) / (n - parameters - 1);
}

// The values on the scale on which the error is taken as even.
std::vector<double> OnErrorScale(std::span<const double> values, PowerLawError error) {
  std::vector<double> out(values.begin(), values.end());
  if (error == PowerLawError::kMultiplicative)
    for (double& v : out) v = std::log(v);
  return out;
}

void CompareWithLevel(LearningCurve& out, const std::vector<double>& scaled, double mean) {
  double level_squares = 0;
  for (const double v : scaled) level_squares += (v - mean) * (v - mean);
  const double n = static_cast<double>(out.n);
  const double curve_squares = out.curve->residual_squares;
  if (curve_squares <= 0) {  // the cases lie on the curve to the last digit
    out.f = out.aicc_gain = std::numeric_limits<double>::infinity();
    out.p = 0;
    return;
  }
  out.f = std::max(0.0, level_squares - curve_squares) / (curve_squares / (n - 2));
  out.p = UpperFP(out.f, 1, n - 2);
  out.aicc_gain = Aicc(level_squares, n, 2) - Aicc(curve_squares, n, 3);
}

void AppendCurveCautions(LearningCurve& out, std::span<const double> case_number,
                         std::span<const double> values) {
  if (case_number.front() > 1)
    out.cautions.push_back(fmt::format("The first case here is number {:.0f}: what came before is not known.",
                                       case_number.front()));
  std::vector<double> rest;
  for (std::size_t i = 0; i < values.size(); ++i) rest.push_back(values[i] - out.curve->At(case_number[i]));
  AppendCorrelatedCaution(rest, out.cautions);
}

}  // namespace

Result<LearningCurve> LearningCurveOf(std::span<const double> case_number, std::span<const double> values,
                                      const LearningCurveOptions& options) {
  AFTERSCOPE_TRY(CheckLevel(options.level));
  AFTERSCOPE_TRY(CheckPairs(case_number, values, 0, kLearningName));
  LearningCurve out;
  out.n = values.size();
  out.fewest_cases = std::max(options.fewest_cases, kNeverBelow);
  if (out.n < out.fewest_cases) return out;
  out.method = "power law against no change, F test and corrected Akaike criterion";
  const bool logs = options.error == PowerLawError::kMultiplicative;
  const double least = *std::min_element(values.begin(), values.end());
  if (least < 0) return NotComputable(kLearningName, "a value is below 0");
  if (logs && least == 0) return NotComputable(kLearningName, "a value is 0, so it has no logarithm");
  const std::vector<double> scaled = OnErrorScale(values, options.error);
  AFTERSCOPE_ASSIGN(const double mean, Mean(scaled));
  out.level_line = logs ? std::exp(mean) : mean;
  out.verdict = LearningVerdict::kNoChange;
  if (AllEqual(values)) return out;
  AFTERSCOPE_ASSIGN(out.curve, FitPowerLaw(case_number, values, options.error, options.level));
  CompareWithLevel(out, scaled, mean);
  if (out.p < 1 - options.level && out.aicc_gain > 0)
    out.verdict = out.curve->b.value < 0 ? LearningVerdict::kFalling : LearningVerdict::kRising;
  AppendCurveCautions(out, case_number, values);
  return out;
}

}  // namespace afterscope

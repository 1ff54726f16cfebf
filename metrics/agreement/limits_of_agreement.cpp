// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/limits_of_agreement.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"
#include "metrics/series/distribution.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr auto kLimitsName = "The limits of agreement";
constexpr double kNoSpread = 1e-12;  // a spread that is so small beside what is measured is none

Estimate Around(double value, double half, double level) {
  return {value, value - half, value + half, level};
}

// Pearson's correlation; 0 where either does not vary.
double Correlation(const std::vector<double>& x, const std::vector<double>& y) {
  const double mean_x = Mean(x).value();
  const double mean_y = Mean(y).value();
  double xy = 0;
  double xx = 0;
  double yy = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    xy += (x[i] - mean_x) * (y[i] - mean_y);
    xx += (x[i] - mean_x) * (x[i] - mean_x);
    yy += (y[i] - mean_y) * (y[i] - mean_y);
  }
  return xx > 0 && yy > 0 ? xy / std::sqrt(xx * yy) : 0;
}

double CorrelationP(double r, double n) {
  const double rest = 1 - r * r;
  return rest <= 0 ? 0 : TwoSidedStudentP(r * std::sqrt((n - 2) / rest), n - 2);
}

}  // namespace

Result<LimitsOfAgreement> LimitsOfAgreementOf(std::span<const double> a, std::span<const double> b,
                                              double factor, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckPairs(a, b, 3, kLimitsName));
  if (!(factor > 0 && std::isfinite(factor)))
    return NotComputable(kLimitsName, "their factor is not above 0");
  std::vector<double> differences;
  std::vector<double> means;
  for (std::size_t i = 0; i < a.size(); ++i) {
    differences.push_back(a[i] - b[i]);
    means.push_back(a[i] / 2 + b[i] / 2);
  }
  LimitsOfAgreement out;
  out.n = a.size();
  out.factor = factor;
  AFTERSCOPE_ASSIGN(out.mean_difference, MeanWithLimits(differences, level));
  AFTERSCOPE_ASSIGN(out.sd, StandardDeviation(differences));
  const double n = static_cast<double>(out.n);
  const double half = StudentFactor(level, n - 1) * out.sd * std::sqrt(3 / n);
  out.lower = Around(out.mean_difference.value - factor * out.sd, half, level);
  out.upper = Around(out.mean_difference.value + factor * out.sd, half, level);
  out.trend = Correlation(differences, means);
  out.method = fmt::format("limits of agreement (Bland and Altman 1986), {} standard deviations", factor);
  if (out.sd > 0 && CorrelationP(out.trend, n) < 0.05)
    out.cautions.emplace_back(
        "The difference depends on the size of what is measured: one pair of limits does not fit all.");
  double largest = 0;
  for (const double mean : means) largest = std::max(largest, std::fabs(mean));
  if (out.sd <= kNoSpread * largest)
    out.cautions.emplace_back("All differences are equal: the limits have no width and foretell nothing.");
  if (out.n < kFewForLimitsOfAgreement)
    out.cautions.push_back(fmt::format("Only {} pairs: the limits are wide.", out.n));
  return out;
}

}  // namespace afterscope

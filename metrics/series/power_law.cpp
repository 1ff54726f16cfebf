// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/power_law.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/least_squares.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr auto kPowerName = "The learning curve";

Estimate Within(double value, double variance, double factor, double level) {
  const double half = factor * std::sqrt(variance);
  return {value, value - half, value + half, level};
}

Estimate Mapped(const Estimate& e, double (*map)(double)) {
  return {map(e.value), map(e.low), map(e.high), e.level};
}

double Exp(double v) { return std::exp(v); }
double Exp2(double v) { return std::exp2(v); }

// The straight line of v over u.
Result<CurveFit> FitLine(const std::vector<double>& u, const std::vector<double>& v) {
  CurveModel line;
  line.parameters = 2;
  line.value = [](double x, const Eigen::VectorXd& b) { return b[0] + b[1] * x; };
  line.gradient = [](double x, const Eigen::VectorXd&, Eigen::Ref<Eigen::RowVectorXd> g) { g << 1, x; };
  return FitCurve(line, u, v, Eigen::Vector2d(v.front(), 0));
}

std::vector<double> Logs(std::span<const double> values) {
  std::vector<double> logs;
  logs.reserve(values.size());
  for (const double v : values) logs.push_back(std::log(v));
  return logs;
}

bool AllPositive(std::span<const double> values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return v > 0; });
}

CurveModel PowerModel() {
  CurveModel power;
  power.parameters = 2;
  power.value = [](double x, const Eigen::VectorXd& b) { return b[0] * std::pow(x, b[1]); };
  power.gradient = [](double x, const Eigen::VectorXd& b, Eigen::Ref<Eigen::RowVectorXd> g) {
    const double p = std::pow(x, b[1]);
    g << p, b[0] * p * std::log(x);
  };
  return power;
}

Result<CurveFit> FitAdditive(std::span<const double> x, std::span<const double> y) {
  AFTERSCOPE_ASSIGN(const double mean, Mean(y));
  Eigen::VectorXd start = Eigen::Vector2d(mean, 0);
  if (AllPositive(y)) {
    AFTERSCOPE_ASSIGN(const CurveFit line, FitLine(Logs(x), Logs(y)));
    start = Eigen::Vector2d(std::exp(line.parameters[0]), line.parameters[1]);
  }
  return FitCurve(PowerModel(), x, y, start);
}

void Fill(PowerLaw& out, const CurveFit& fit, double level) {
  const double factor = StudentFactor(level, fit.degrees);
  out.residual_sd = fit.residual_sd;
  out.residual_squares = fit.residual_squares;
  out.a_variance = fit.covariance(0, 0);
  out.b_variance = fit.covariance(1, 1);
  out.covariance = fit.covariance(0, 1);
  out.a = Within(fit.parameters[0], out.a_variance, factor, level);
  if (out.error == PowerLawError::kMultiplicative) out.a = Mapped(out.a, Exp);
  out.b = Within(fit.parameters[1], out.b_variance, factor, level);
  out.ratio_per_doubling = Mapped(out.b, Exp2);
}

}  // namespace

double PowerLaw::At(double x) const { return a.value * std::pow(x, b.value); }

Estimate PowerLaw::WithLimits(double x) const {
  const double factor = StudentFactor(b.level, static_cast<double>(n) - 2);
  const double log_x = std::log(x);
  if (error == PowerLawError::kMultiplicative) {
    const double variance = a_variance + 2 * log_x * covariance + log_x * log_x * b_variance;
    return Mapped(Within(std::log(a.value) + b.value * log_x, std::max(0.0, variance), factor, b.level), Exp);
  }
  const double p = std::pow(x, b.value);
  const double db = a.value * p * log_x;
  const double variance = p * p * a_variance + 2 * p * db * covariance + db * db * b_variance;
  return Within(a.value * p, std::max(0.0, variance), factor, b.level);
}

Result<PowerLaw> FitPowerLaw(std::span<const double> x, std::span<const double> y, PowerLawError error,
                             double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckPairs(x, y, 4, kPowerName));
  if (!AllPositive(x)) return NotComputable(kPowerName, "a case number is not above 0");
  if (AllEqual(x)) return NotComputable(kPowerName, "all values belong to one case number");
  PowerLaw out;
  out.error = error;
  out.n = x.size();
  if (error == PowerLawError::kAdditive) {
    out.method = "power law by least squares in the units of the values, linearised limits";
    AFTERSCOPE_ASSIGN(const CurveFit fit, FitAdditive(x, y));
    Fill(out, fit, level);
    return out;
  }
  if (!AllPositive(y)) return NotComputable(kPowerName, "a value is not above 0, so it has no logarithm");
  out.method = "power law by least squares of the logarithms";
  AFTERSCOPE_ASSIGN(const CurveFit fit, FitLine(Logs(x), Logs(y)));
  Fill(out, fit, level);
  return out;
}

}  // namespace afterscope

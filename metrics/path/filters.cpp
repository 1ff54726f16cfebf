// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/filters.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace afterscope {
namespace {

using Complex = std::complex<double>;
using std::numbers::pi;

const double kTwoPasses = std::pow(std::numbers::sqrt2 - 1, 0.25);

std::vector<double> PolynomialOf(const std::vector<Complex>& roots) {
  std::vector<Complex> c{1};
  for (const Complex root : roots) {
    c.push_back(0);
    for (std::size_t i = c.size() - 1; i > 0; --i) c[i] -= root * c[i - 1];
  }
  std::vector<double> out;
  for (const Complex v : c) out.push_back(v.real());
  return out;
}

// The state in which a constant 1 goes through unchanged.
std::vector<double> SteadyState(const RecursiveFilter& f) {
  std::vector<double> state(f.a.size() - 1);
  double sum = 0;
  for (std::size_t i = state.size(); i-- > 0;) state[i] = sum += f.b[i + 1] - f.a[i + 1];
  return state;
}

// Transposed direct form, started steady at the first value.
std::vector<double> Pass(const RecursiveFilter& f, const std::vector<double>& x) {
  std::vector<double> state = SteadyState(f);
  for (double& s : state) s *= x.front();
  std::vector<double> y(x.size());
  for (std::size_t n = 0; n < x.size(); ++n) {
    y[n] = f.b[0] * x[n] + state[0];
    for (std::size_t i = 0; i + 1 < state.size(); ++i)
      state[i] = state[i + 1] + f.b[i + 1] * x[n] - f.a[i + 1] * y[n];
    state.back() = f.b.back() * x[n] - f.a.back() * y[n];
  }
  return y;
}

// Value at the first of the values of the straight line that fits the first `count` best.
double LineAtStart(const std::vector<double>& x, std::size_t count) {
  const double middle = (static_cast<double>(count) - 1) / 2;
  double sum = 0, slope = 0, squares = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const double t = static_cast<double>(i) - middle;
    sum += x[i];
    slope += t * x[i];
    squares += t * t;
  }
  return sum / static_cast<double>(count) - (squares > 0 ? slope / squares * middle : 0);
}

// Continued at both ends by reflection in a point that is not one noisy value.
std::vector<double> Reflected(const std::vector<double>& x, std::size_t pad, std::size_t fitted) {
  const double start = LineAtStart(x, fitted);
  const double end = LineAtStart({x.rbegin(), x.rend()}, fitted);
  std::vector<double> out;
  for (std::size_t i = pad; i > 0; --i) out.push_back(2 * start - x[i]);
  out.insert(out.end(), x.begin(), x.end());
  for (std::size_t i = 1; i <= pad; ++i) out.push_back(2 * end - x[x.size() - 1 - i]);
  return out;
}

// Where a second-order filter has to be designed so that two passes are down by 3 dB at `cutoff_hz`, on the
// bilinear transform's own frequency scale; half the rate or more where there is no such filter.
double OnePassCutoff(double cutoff_hz, double rate_hz) {
  if (!(cutoff_hz > 0) || !(cutoff_hz < rate_hz / 2)) return rate_hz;
  return rate_hz / pi * std::atan(std::tan(pi * cutoff_hz / rate_hz) / kTwoPasses);
}

double PowerGain(const RecursiveFilter& f, double omega) {
  Complex b = 0, a = 0;
  for (std::size_t i = 0; i < f.b.size(); ++i) {
    const Complex z = std::polar(1.0, -omega * static_cast<double>(i));
    b += f.b[i] * z;
    a += f.a[i] * z;
  }
  return std::norm(b / a);
}

}  // namespace

std::optional<RecursiveFilter> ButterworthLowPass(int order, double cutoff_hz, double rate_hz) {
  if (order < 1 || order > 8 || !(cutoff_hz > 0) || !(cutoff_hz < rate_hz / 2)) return std::nullopt;
  const double warped = 2 * std::tan(pi * cutoff_hz / rate_hz);  // analogue cutoff at a rate of 1
  std::vector<Complex> poles, zeros;
  for (int k = 0; k < order; ++k) {
    const Complex s = warped * std::polar(1.0, pi * (2.0 * k + order + 1) / (2.0 * order));
    poles.push_back((2.0 + s) / (2.0 - s));
    zeros.emplace_back(-1);
  }
  RecursiveFilter out{PolynomialOf(zeros), PolynomialOf(poles)};
  double sum_a = 0, sum_b = 0;
  for (const double v : out.a) sum_a += v;
  for (const double v : out.b) sum_b += v;
  for (double& v : out.b) v *= sum_a / sum_b;  // 1 at frequency 0
  return out;
}

std::optional<std::vector<double>> ZeroPhaseLowPass(const std::vector<double>& values, double cutoff_hz,
                                                    double rate_hz) {
  const auto filter = ButterworthLowPass(2, OnePassCutoff(cutoff_hz, rate_hz), rate_hz);
  if (!filter || values.size() < 4) return std::nullopt;
  const auto decay = static_cast<std::size_t>(std::ceil(2 * rate_hz / cutoff_hz));
  const std::size_t pad = std::min(values.size() - 1, std::max<std::size_t>(decay, 6));
  const std::size_t fitted = std::clamp<std::size_t>(decay / 2, 3, values.size());
  std::vector<double> y = Pass(*filter, Reflected(values, pad, fitted));
  std::reverse(y.begin(), y.end());
  y = Pass(*filter, y);
  std::reverse(y.begin(), y.end());
  const auto first = y.begin() + static_cast<std::ptrdiff_t>(pad);
  return std::vector<double>(first, first + static_cast<std::ptrdiff_t>(values.size()));
}

double StepNoiseGain(double cutoff_hz, double rate_hz) {
  const auto filter = ButterworthLowPass(2, OnePassCutoff(cutoff_hz, rate_hz), rate_hz);
  if (!filter) return std::numbers::sqrt2;
  constexpr int kSteps = 2048;
  double sum = 0;
  for (int i = 0; i < kSteps; ++i) {
    const double omega = pi * (i + 0.5) / kSteps;
    sum += std::pow(PowerGain(*filter, omega) * 2 * std::sin(omega / 2), 2);
  }
  return std::sqrt(sum / kSteps);
}

std::optional<std::vector<double>> SavitzkyGolay(int half, int degree, int derivative) {
  const int n = 2 * half + 1;
  if (half < 1 || derivative < 0 || derivative > degree || degree >= n) return std::nullopt;
  Eigen::MatrixXd powers(n, degree + 1);
  for (int i = 0; i < n; ++i)
    for (int k = 0; k <= degree; ++k) powers(i, k) = std::pow(i - half, k);
  const Eigen::MatrixXd inverse = powers.completeOrthogonalDecomposition().pseudoInverse();
  double factorial = 1;
  for (int k = 2; k <= derivative; ++k) factorial *= k;
  std::vector<double> out;
  for (int i = 0; i < n; ++i) out.push_back(factorial * inverse(derivative, i));
  return out;
}

}  // namespace afterscope

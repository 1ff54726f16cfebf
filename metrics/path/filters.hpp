// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// Coefficients of a recursive filter: a[0] y[n] = sum b[k] x[n-k] - sum_{k>0} a[k] y[n-k], a[0] = 1.
struct RecursiveFilter {
  std::vector<double> b;
  std::vector<double> a;
};

// Butterworth low-pass by the bilinear transform, -3 dB at `cutoff_hz`. Empty unless 1 <= order <= 8 and
// 0 < cutoff < rate / 2.
std::optional<RecursiveFilter> ButterworthLowPass(int order, double cutoff_hz, double rate_hz);

// A second-order pass forwards and backwards has no phase and its gain squared; designed at cutoff / 0.802243
// (the fourth root of root 2 minus 1; Winter), on the bilinear transform's scale, it is down by 3 dB at
// `cutoff_hz` again. The ends are continued by reflection in the end of a straight line through the outermost
// values. Empty where the cutoff does not fit the rate or there are fewer than 4 values.
std::optional<std::vector<double>> ZeroPhaseLowPass(const std::vector<double>& values, double cutoff_hz,
                                                    double rate_hz);

// Standard deviation of the step from one filtered value to the next, for white noise of standard deviation 1
// as input.
double StepNoiseGain(double cutoff_hz, double rate_hz);

// Weights of the least-squares polynomial of `degree` over 2 half + 1 equally spaced values (spacing 1), for
// the value (0) or a derivative at the middle, as a dot product with the values in order (Savitzky and Golay
// 1964). Empty unless derivative <= degree < 2 half + 1.
std::optional<std::vector<double>> SavitzkyGolay(int half, int degree, int derivative);

}  // namespace afterscope

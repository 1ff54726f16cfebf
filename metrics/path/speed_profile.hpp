// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

namespace afterscope {

// Movements of a tip: runs of speed strictly above `threshold` (same unit).
int CountMovements(const std::vector<double>& speed, double threshold);
// The same where a run only ends once the speed falls to `ends_at` or below, so that noise round the
// threshold does not break it.
int CountMovements(const std::vector<double>& speed, double threshold, double ends_at);
// Local maxima that reach `threshold`.
int CountPeaks(const std::vector<double>& speed, double threshold);
// Share of values at or below `threshold`; 1 for no values.
double StillShare(const std::vector<double>& speed, double threshold);

// Sum of the true lengths of two-dimensional steps whose measured lengths carry normal noise of standard
// deviation `sd` along each axis. A step of length v is measured as a Rice-distributed length, longer on
// average; the distribution of v is estimated from all measured lengths by maximum likelihood
// (non-parametric: weights on a grid of lengths, by expectation-maximisation), and the mean of that
// distribution is free of the lengthening. No steps: 0; sd 0: their sum.
double NoiseFreeLength(const std::vector<double>& measured, double sd);

}  // namespace afterscope

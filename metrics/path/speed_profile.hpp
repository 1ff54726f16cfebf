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

// Length of a two-dimensional step whose measured length carries normal noise of standard deviation `sd`
// along each axis: the measured length less what noise adds on average to a step of such a length (the mean
// of Rice's distribution minus the true length). Negative for a step shorter than noise alone makes it, so
// that a sum over many steps is right on average. sd 0: the measured length.
double LessNoise(double measured, double sd);

}  // namespace afterscope

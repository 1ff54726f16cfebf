// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/path/tip_path.hpp"

#include <vector>

namespace afterscope {

// The median of the times between samples, over all stretches, but not so short that the stretches would hold
// more than 20 samples for each point; 0 without any.
double MedianInterval(const std::vector<TipStretch>& stretches);

// Positions at even times `interval` apart from the first sample on, by cubic interpolation; as they are
// where the times are even already (to a fifth of the interval).
std::vector<PointSq> AtEvenTimes(const TipStretch& stretch, double interval);

}  // namespace afterscope

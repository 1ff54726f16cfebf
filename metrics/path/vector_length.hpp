// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"

namespace afterscope {

// Length of a vector in the plane that was measured with normal noise of standard deviation `sd` along each
// axis. Noise alone makes a length; the limits are the lengths that are neither too short nor too long (2.5 %
// each) for what was measured to come from them, by the distribution of Rice (its square is a non-central
// chi-square with 2 degrees). 0 <= low <= value <= high; low is 0 where noise alone may have made it. sd 0:
// the measured length.
Estimate VectorLength(double measured, double sd);

}  // namespace afterscope

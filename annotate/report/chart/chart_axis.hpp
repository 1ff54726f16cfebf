// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

namespace afterscope {

// Values with round distances (1, 2 or 5 times a power of ten; of seconds 1, 2, 5, 10, 15, 30, 60, 120, 300,
// 600, 900, 1800, 3600) that lie in [low, high], about `about` of them. Empty where low >= high or a bound is
// not finite.
std::vector<double> RoundTicks(double low, double high, int about, bool seconds);

}  // namespace afterscope

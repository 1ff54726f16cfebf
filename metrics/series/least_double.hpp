// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>

namespace afterscope {

// The least double in [low, high] for which `holds` is true, exactly, in at most 64 calls. `holds` is false
// up to some value and true from there on, and true at `high`. Finite bounds, low <= high. How an order
// statistic of very many sums or differences is found by counting, without forming them.
double LeastDouble(double low, double high, const std::function<bool(double)>& holds);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/scale/scale.hpp"

#include <optional>

namespace afterscope {

// The outer diameter of a needle's tubing by its gauge, 18 to 33: the middle of the limits of ISO 9626:2016
// (their values from memory), with the standard deviation of a uniform distribution between them. Not the
// designated metric size, which is rounded: 30 G is called 0.3 mm and measures 0.298 to 0.320. A needle is
// thin, so that the error of marking it is rarely the smallest. Empty for any other gauge.
std::optional<KnownLength> NeedleDiameter(int gauge);

}  // namespace afterscope

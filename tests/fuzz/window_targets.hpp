// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "tests/fuzz/targets.hpp"

#include <span>

namespace afterscope {

// Those of the window: the user's keys, and how the window was left.
std::span<const FuzzTarget> WindowFuzzTargets();

}  // namespace afterscope

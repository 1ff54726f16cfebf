// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <numbers>

namespace afterscope::phantom {

inline constexpr double kPi = std::numbers::pi;
inline constexpr double kTurn = 2 * kPi;  // all round, in radians

}  // namespace afterscope::phantom

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/followed.hpp"

#include <optional>

namespace afterscope {

inline constexpr double kFocusShare = 0.75;

// The sharpness from which on a sight of that eye counts as in focus: 0.75 of what a tenth of its sights
// reach (chosen on phantoms, metrics/eye/eye_sharpness.hpp). Empty for fewer than ten sights whose sharpness
// is known.
std::optional<double> FocusLimit(const FollowedEye& eye);

}  // namespace afterscope

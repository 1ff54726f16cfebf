// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "tests/fuzz/targets.hpp"

#include <span>

namespace afterscope {

// Gives each target its seeds from tests/data/seeds, and each of these in many changed forms. The seeds are
// small files of each kind, and whatever once made trouble. That nothing crashes is what is tested; run under
// the sanitizers it tests most.
void ReplaySeeds(std::span<const FuzzTarget> targets);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"

namespace afterscope {

// How often a tip came into the eye: as many as the trail says, with limits of at least 95 % for a reviewer
// who overlooks one stay outside in twenty and marks one in twenty that is none (both counts taken as
// Poisson; common practice, no source, as for grasps). `unseen`: gaps in which the tip was not seen for so
// long that it may have gone out and come back. A trail with a place in the eye has one entry at least.
Estimate CountEntries(int entries, int unseen);

// Seconds, common practice, no source: a tip is not brought out of an eye and back in less.
constexpr double kLeastOutAndIn = 2;

}  // namespace afterscope

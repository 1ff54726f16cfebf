// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"
#include "metrics/phantom/scene.hpp"
#include "metrics/phantom/script.hpp"

#include <vector>

namespace afterscope::phantom {

// What is true of a motion, by plain counting over positions in even steps of time: they are to lie so close
// (5 ms) that what happens between two of them does not matter.

// Largest distance from one to the next, by the step: mm/s. What lies within `margin_s` of either end does
// not count; of a path that is all margin its middle does.
double LargestSpeed(const std::vector<PointMm>& path, double step_s, double margin_s);
// Runs of a speed above `speed`; a run ends once the speed has fallen to half of it.
int Movements(const std::vector<PointMm>& path, double step_s, double speed);
// Of the convex hull: mm2.
double HullArea(std::vector<PointMm> points);

// Seconds of [from_s, to_s] in which the tip (tremor included) is not faster than `speed` (mm/s in the plane
// of the capsule; slope of the straight line that fits its places over `window_s` round the instant best),
// less `margin_s` on either side of where it is.
double StillSeconds(const Scene& scene, const ToolUse& use, double from_s, double to_s, double speed,
                    double window_s, double margin_s);

// Seconds of [from_s, to_s] in which the tip, as seen, is farther from the middle of the limbus than that
// share of the limbus' radius in its direction.
double SecondsBeyond(const Scene& scene, const ToolUse& use, double from_s, double to_s, double share);

// By directions from the middle of the optic.
struct OverlapShares {
  double hidden = 0;   // of all: the iris covers both edges
  double covered = 0;  // of the others: the capsule covers the optic's edge
};
OverlapShares TrueOverlap(const Scene& scene, const Script& script, double seconds);

// The value that this share of the others does not exceed: by rank, none between two. 0 for none.
double ByRank(std::vector<double> values, double share);

}  // namespace afterscope::phantom

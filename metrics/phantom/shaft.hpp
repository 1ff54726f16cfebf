// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/random.hpp"
#include "metrics/phantom/script.hpp"

namespace afterscope::phantom {

// Where the eye's frame lies in the picture: eye and microscope moved, zoom included.
Placement EyePlacement(const Scene& scene, const Script& script, double seconds);
// Where what does not move with the eye lies (lids, speculum, drape): microscope moved, zoom included.
Placement HeadPlacement(const Scene& scene, const Script& script, double seconds);

// The axis of an instrument at one instant, in the eye's frame.
struct ShaftLine {
  PointMm tip_mm;         // true, in the plane of the capsule, tremor included
  PointMm tip_seen;       // in the plane of the limbus, as seen
  OffsetMm towards_hand;  // of length 1
};
ShaftLine ShaftAt(const Scene& scene, const Script& script, const ToolUse& use, double seconds);

// The tip without the eye's own frame's motion, tremor included: what FilteredPath filters.
PointMm TipWithTremor(const Scene& scene, const ToolUse& use, double seconds);

}  // namespace afterscope::phantom

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/tip_map.hpp"
#include "annotate/overlay/shape.hpp"

namespace afterscope {

// A map of a tip as it lies on its frame: one hue, which grows stronger where regions lie on each other, and
// a line round each, the innermost with the widest; the tip's way over them, and the limbus, dotted.
ShapeList ShapesOfTipMap(const TipMap& map);

}  // namespace afterscope

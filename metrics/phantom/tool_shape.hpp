// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/canvas.hpp"
#include "metrics/phantom/script.hpp"

#include <vector>

namespace afterscope::phantom {

// How an instrument looks at a distance from its tip along the axis; between two stations all is
// interpolated.
struct Station {
  double from_tip_mm = 0;
  double width_mm = 0.5;
  double blue = 150;  // of the body, 0 to 255
  double green = 155;
  double red = 150;
  double shine = 0.8;  // 0 dull to 1 polished: dark rims, a bright line
  double opacity = 1;
};

struct ToolShape {
  std::vector<Station> stations;  // from the tip outwards
  bool round_end = false;
  bool open_end = false;  // a dark mouth at the tip
  double port_mm = 0;     // distance of a dark port from the tip; 0: none
};

// Two of them for forceps: one branch each.
const ToolShape& ShapeOf(Tool tool);
// The blades' widths are those of the scene's incisions.
ToolShape BladeOf(Tool tool, double width_mm);

}  // namespace afterscope::phantom

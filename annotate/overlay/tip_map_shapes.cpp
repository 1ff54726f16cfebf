// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/tip_map_shapes.hpp"

namespace afterscope {

ShapeList ShapesOfTipMap(const TipMap& map) {
  ShapeList shapes;
  double width_pt = 0.6;
  for (auto region = map.regions.rbegin(); region != map.regions.rend(); ++region, width_pt += 0.5)
    shapes.emplace_back(AreaShape{Role::kTipMap, region->outlines, 0.22, width_pt});
  for (const std::vector<PointSq>& way : map.ways)
    shapes.emplace_back(PolylineShape{Role::kTrail, way, false, false, 0.5, LineStyle::kSolid});
  shapes.emplace_back(PolylineShape{Role::kLimbus, map.limbus, true, false, 1, LineStyle::kDotted});
  return shapes;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/parts.hpp"

namespace afterscope {

void AddRuler(const FrameView& view, const Mark& mark, ShapeList& shapes) {
  const std::vector<PointSq> points = view.Points(mark);
  if (points.size() < 2) return;
  const OffsetSq way = points[1] - points[0];
  if (!(way.Length() > 0)) return;
  const bool incision = mark.kind == MarkKind::kIncision;
  const Role role = incision ? Role::kIncision : Role::kRuler;
  shapes.emplace_back(PolylineShape{role,
                                    {points[0], points[1]},
                                    false,
                                    false,
                                    incision ? 2.5 : 1.5,
                                    mark.kind == MarkKind::kObject ? LineStyle::kDashed : LineStyle::kSolid});
  const OffsetSq across = 0.08 * OffsetSq{-way.y, way.x};
  for (const PointSq end : {points[0], points[1]})
    shapes.emplace_back(PolylineShape{role, {end - across, end + across}, false, false, 1.5});
  if (mark.text.empty()) return;
  const PointSq middle = Lerp(points[0], points[1], 0.5);
  shapes.emplace_back(TextShape{role, middle + 1.6 * across, mark.text, 10, across.x >= 0 ? 0.0 : 1.0, 0.5});
}

}  // namespace afterscope

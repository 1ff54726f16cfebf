// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/parts.hpp"
#include "metrics/geometry/open_curve.hpp"

namespace afterscope {

void AddRuler(const FrameView& view, const Mark& mark, ShapeList& shapes) {
  const std::vector<PointSq> points = view.Points(mark);
  if (points.size() < 2) return;
  const PointSq from = points.front(), to = points.back();
  const OffsetSq way = to - from;
  if (!(way.Length() > 0)) return;
  const bool incision = mark.kind == MarkKind::kIncision;
  const Role role = incision ? Role::kIncision : Role::kRuler;
  shapes.emplace_back(PolylineShape{role, incision ? SmoothOpenCurve(points) : std::vector<PointSq>{from, to},
                                    false, false, incision ? 2.5 : 1.5,
                                    mark.kind == MarkKind::kObject ? LineStyle::kDashed : LineStyle::kSolid});
  const OffsetSq across = 0.08 * OffsetSq{-way.y, way.x};
  for (const PointSq end : {from, to})
    shapes.emplace_back(PolylineShape{role, {end - across, end + across}, false, false, 1.5});
  if (mark.text.empty()) return;
  const PointSq middle = Lerp(from, to, 0.5);
  shapes.emplace_back(TextShape{role, middle + 1.6 * across, mark.text, 10, across.x >= 0 ? 0.0 : 1.0, 0.5});
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/parts.hpp"

namespace afterscope {

namespace {

void AddArrow(const std::vector<PointSq>& points, const std::string& text, ShapeList& shapes) {
  const PointSq from = points[0];
  const PointSq to = points[1];
  const OffsetSq way = to - from;
  if (!(way.Length() > 0)) return;
  const double head = 0.22 * way.Length();
  const OffsetSq along = way / way.Length();
  const OffsetSq across{-along.y, along.x};
  const PointSq neck = to - head * along;
  shapes.emplace_back(PolylineShape{Role::kArrow, {from, to}, false, false, 2.0});
  shapes.emplace_back(PolylineShape{
      Role::kArrow, {neck + 0.45 * head * across, to, neck - 0.45 * head * across}, false, false, 2.0});
  if (text.empty()) return;
  // The words stand at the tail, on the side that points away from the head.
  shapes.emplace_back(
      TextShape{Role::kArrow, from - 0.06 * way, text, 11, along.x > 0 ? 1.0 : 0.0, 0.5 + 0.5 * along.y});
}

}  // namespace

void AddNote(const FrameView& view, const Mark& mark, ShapeList& shapes) {
  const std::vector<PointSq> points = view.Points(mark);
  if (mark.kind == MarkKind::kArrow && points.size() >= 2) AddArrow(points, mark.text, shapes);
  if (mark.kind == MarkKind::kLabel && !points.empty())
    shapes.emplace_back(TextShape{Role::kLabel, points[0], mark.text, 12, 0.5, 0.5});
  if (mark.kind == MarkKind::kGrasp && !points.empty()) {
    shapes.emplace_back(DotShape{Role::kRhexis, points[0], 3.5});
    if (!mark.text.empty())
      shapes.emplace_back(TextShape{Role::kRhexis, points[0], " " + mark.text, 9, 0, 0.5});
  }
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/build_shapes.hpp"

#include "annotate/overlay/parts.hpp"

namespace afterscope {

namespace {

bool IsRuler(MarkKind kind) {
  return kind == MarkKind::kRuler || kind == MarkKind::kObject || kind == MarkKind::kIncision;
}

bool IsNote(MarkKind kind) {
  return kind == MarkKind::kArrow || kind == MarkKind::kLabel || kind == MarkKind::kGrasp;
}

template <class Wanted, class Add>
void ForMarks(const FrameView& view, Wanted wanted, Add add) {
  for (const Mark& mark : view.review.marks)
    if (mark.at == view.at && wanted(mark.kind)) add(mark);
}

void AddTrails(const FrameView& view, const OverlayOptions& options, ShapeList& shapes) {
  for (const Trail& trail : view.review.trails) {
    if (options.trail) AddTrail(view, trail, options.trail_seconds, shapes);
    if (options.tips) AddTip(view, trail, shapes);
  }
}

}  // namespace

ShapeList BuildShapes(const CaseRecord& record, const Review& review, FrameRef at, const OverlayOptions& options) {
  ShapeList shapes;
  if (at.recording < 0 || at.recording >= static_cast<int>(record.recordings.size())) return shapes;
  const Rational aspect = record.recordings[static_cast<std::size_t>(at.recording)].shape.pixel_aspect;
  const FrameView view{record, review, at, aspect.valid() ? aspect.value() : 1.0};
  AddTrails(view, options, shapes);
  if (options.rulers) ForMarks(view, IsRuler, [&](const Mark& mark) { AddRuler(view, mark, shapes); });
  if (options.notes) ForMarks(view, IsNote, [&](const Mark& mark) { AddNote(view, mark, shapes); });
  const auto is_cover = [](MarkKind kind) { return kind == MarkKind::kCover; };
  if (options.covers) ForMarks(view, is_cover, [&](const Mark& mark) { AddNote(view, mark, shapes); });
  return shapes;
}

}  // namespace afterscope

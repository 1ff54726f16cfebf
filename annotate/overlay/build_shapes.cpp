// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/build_shapes.hpp"

#include "annotate/case/cover.hpp"
#include "annotate/overlay/dial_shapes.hpp"
#include "annotate/overlay/parts.hpp"

namespace afterscope {

namespace {

bool IsRuler(MarkKind kind) {
  return kind == MarkKind::kRuler || kind == MarkKind::kObject || kind == MarkKind::kIncision;
}

bool IsNote(MarkKind kind) {
  return kind == MarkKind::kArrow || kind == MarkKind::kLabel || kind == MarkKind::kGrasp;
}

// A cover holds for more than the frame that it was drawn on.
bool IsOn(const Mark& mark, FrameRef at) {
  return mark.kind == MarkKind::kCover ? CoverHolds(mark, at) : mark.at == at;
}

template <class Wanted, class Add>
void ForMarks(const FrameView& view, Wanted wanted, Add add) {
  for (const Mark& mark : view.review.marks)
    if (IsOn(mark, view.at) && wanted(mark)) add(mark);
}

void AddTrails(const FrameView& view, const OverlayOptions& options, ShapeList& shapes) {
  for (const Trail& trail : view.review.trails) {
    if (options.trail) AddTrail(view, trail, options.trail_seconds, shapes);
    if (options.tips) AddTip(view, trail, options.handles, shapes);
  }
}

void AddDialOf(const FrameView& view, const DialView& face, ShapeList& shapes) {
  const auto orientation = OrientationOf(view.record, view.at.recording);
  if (!orientation) return;
  Dial dial{face.centre, face.radius, *orientation, view.record.eye};
  AddDial(dial, shapes);
  ForMarks(
      view, [](const Mark& m) { return m.kind == MarkKind::kIncision && m.points.size() >= 2; },
      [&](const Mark& m) {
        const std::vector<PointSq> points = view.Points(m);
        AddIncisionArc(dial, points.front(), points.back(), shapes);
      });
}

void AddOutlines(const FrameGeometry& geometry, const OverlayOptions& options, ShapeList& shapes) {
  for (const OutlineView& outline : geometry.outlines) {
    if (options.unfinished == outline.mark) continue;
    // The optic's edge is drawn by how it is covered, where that is known.
    const bool covered = options.overlap && geometry.overlap && geometry.overlap->lens == outline.mark;
    if (!covered) AddOutline(outline, shapes);
    if (options.best_circle && outline.kind == MarkKind::kRhexis) AddBestCircle(outline, shapes);
  }
}

void AddMarks(const FrameView& view, const OverlayOptions& options, ShapeList& shapes) {
  const auto unfinished = [&](const Mark& mark) { return options.unfinished == mark.id; };
  ForMarks(view, unfinished, [&](const Mark& mark) { AddUnfinished(view, mark, shapes); });
  if (options.rulers)
    ForMarks(
        view, [&](const Mark& m) { return IsRuler(m.kind); },
        [&](const Mark& m) { AddRuler(view, m, shapes); });
  if (options.notes)
    ForMarks(
        view, [&](const Mark& m) { return IsNote(m.kind); },
        [&](const Mark& m) { AddNote(view, m, shapes); });
  const auto handled = [&](const Mark& mark) { return options.handles || unfinished(mark); };
  ForMarks(view, handled, [&](const Mark& mark) { AddHandles(view, mark, options.handle_pt, shapes); });
  if (options.covers)
    ForMarks(
        view, [](const Mark& m) { return m.kind == MarkKind::kCover; },
        [&](const Mark& m) { AddCover(view, m, shapes); });
}

}  // namespace

ShapeList BuildShapes(const CaseRecord& record, const Review& review, FrameRef at,
                      const OverlayOptions& options) {
  return BuildShapes(record, review, ViewFrame(record, review, at), options);
}

ShapeList BuildShapes(const CaseRecord& record, const Review& review, const FrameGeometry& geometry,
                      const OverlayOptions& options) {
  ShapeList shapes;
  const FrameRef at = geometry.at;
  if (at.recording < 0 || at.recording >= static_cast<int>(record.recordings.size())) return shapes;
  const FrameView view{record, review, at, PixelAspectOf(record, at.recording)};
  if (options.dial && geometry.dial) AddDialOf(view, *geometry.dial, shapes);
  AddTrails(view, options, shapes);
  if (options.outlines) AddOutlines(geometry, options, shapes);
  if (options.overlap && geometry.overlap) AddOverlap(*geometry.overlap, shapes);
  if (options.mm_bar && geometry.scale_bar)
    AddScaleBar(*geometry.scale_bar, record.recordings[static_cast<std::size_t>(at.recording)].shape,
                options.mm_bar_corner, shapes);
  AddMarks(view, options, shapes);
  return shapes;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/overlay/build_shapes.hpp"
#include "annotate/overlay/shape.hpp"

namespace afterscope {

// The parts that BuildShapes is made of; each appends to a list.

// One frame of a case that is looked at.
struct FrameView {
  const CaseRecord& record;
  const Review& review;
  FrameRef at;
  double aspect = 1;  // of the recording's pixels

  std::vector<PointSq> Points(const Mark& mark) const { return SqFromPx(mark.points, aspect); }
};

// Arrow, label, grasp, cover.
void AddNote(const FrameView& view, const Mark& mark, ShapeList& shapes);
// Ruler, object of known size, incision: two points with their ends.
void AddRuler(const FrameView& view, const Mark& mark, ShapeList& shapes);
// A dot on every marked point.
void AddHandles(const FrameView& view, const Mark& mark, ShapeList& shapes);
// The tip at this frame, and its way over the last `trail_seconds` (negative: over the whole recording up to the end).
void AddTip(const FrameView& view, const Trail& trail, ShapeList& shapes);
void AddTrail(const FrameView& view, const Trail& trail, double trail_seconds, ShapeList& shapes);

}  // namespace afterscope

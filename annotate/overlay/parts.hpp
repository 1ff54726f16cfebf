// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/jobs/geometry_view.hpp"
#include "annotate/overlay/build_shapes.hpp"
#include "annotate/overlay/shape.hpp"
#include "metrics/picture/shown_picture.hpp"

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

std::vector<PointSq> CirclePoints(PointSq centre, double radius, int count);

// A smooth closed curve in the line style of its kind, and the least-squares circle.
void AddOutline(const OutlineView& outline, ShapeList& shapes);
void AddBestCircle(const OutlineView& outline, ShapeList& shapes);
// The points so far, joined by straight lines.
void AddUnfinished(const FrameView& view, const Mark& mark, ShapeList& shapes);
// The optic's edge, told apart by how it is covered.
void AddOverlap(const OverlapView& overlap, ShapeList& shapes);
// A bar of a round length in the lower left corner of the picture as it is shown, or at the given corner of a
// part of it.
void AddScaleBar(const ScaleBarView& bar, const RecordingShape& recording,
                 const std::optional<ShownPicture::Spot>& corner, ShapeList& shapes);
// Arrow, label, grasp.
void AddNote(const FrameView& view, const Mark& mark, ShapeList& shapes);
// What a cover hides, filled. One of the shape `outside` fills the picture up to its edges; where its middle
// lies beyond them, all of it.
void AddCover(const FrameView& view, const Mark& mark, ShapeList& shapes);
// Ruler, object of known size, incision: two points with their ends.
void AddRuler(const FrameView& view, const Mark& mark, ShapeList& shapes);
// A dot on every marked point.
void AddHandles(const FrameView& view, const Mark& mark, double radius_pt, ShapeList& shapes);
// The tip at this frame, and its way over the last `trail_seconds` (negative: over the whole recording up to
// the end). The way is drawn in the eye's own frame, laid over the eye as it lies on this frame: what eye and
// microscope moved since is taken out. Where the eye's way is not marked (see OutlineTrack), it is drawn
// dashed, as it was in the picture. shafts: with the line to the place that the hand set on the shaft.
void AddTip(const FrameView& view, const Trail& trail, bool shafts, ShapeList& shapes);
void AddTrail(const FrameView& view, const Trail& trail, double trail_seconds, ShapeList& shapes);

}  // namespace afterscope

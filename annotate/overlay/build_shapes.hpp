// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/jobs/geometry_view.hpp"
#include "annotate/overlay/shape.hpp"
#include "metrics/base/time.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <optional>

namespace afterscope {

// What is drawn over a frame. Everything that is off is left out; what can't be drawn (a dial without a known
// seat, a bar without a scale) is left out too, without a word.
struct OverlayOptions {
  bool outlines = true;     // limbus, pupil, rhexis, lens edge as smooth closed curves
  bool handles = false;     // the marked points themselves
  double handle_pt = 3;     // their radius
  bool best_circle = true;  // of the rhexis
  bool dial = true;         // clock hours, degrees, incisions, nasal and temporal
  bool overlap = true;      // the lens edge by its four states
  bool tips = true;         // the instrument tips at this frame
  bool trail = true;        // and the way they came
  bool rulers = true;       // rulers, objects, incisions as lines
  bool notes = true;        // arrows, labels, grasps
  bool covers = true;
  bool mm_bar = true;
  // The lower left corner that the bar stands in, in shown square pixels; empty: the picture's own.
  std::optional<ShownPicture::Spot> mm_bar_corner;
  double trail_seconds = 3;  // how far back the trail reaches; negative: all of the step's recording
  std::optional<MarkId>
      unfinished;  // a mark that is being drawn: its points are joined by straight lines, open
};

// Shapes of the marks that lie on exactly this frame, of the covers that hold for it, and of the trails
// around it, in order of painting. Positions are in square pixels of the frame's recording before rotation.
// Marks with too few points for what they are give only their handles. A frame of a recording that the case
// does not have gives nothing.
ShapeList BuildShapes(const CaseRecord& record, const Review& review, FrameRef at,
                      const OverlayOptions& options);
// The same with the frame's geometry at hand.
ShapeList BuildShapes(const CaseRecord& record, const Review& review, const FrameGeometry& geometry,
                      const OverlayOptions& options);

}  // namespace afterscope

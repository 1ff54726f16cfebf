// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/angle.hpp"
#include "metrics/base/estimate.hpp"
#include "metrics/base/point.hpp"
#include "metrics/eye/orientation.hpp"
#include "metrics/geometry/circle.hpp"
#include "metrics/rhexis/overlap.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What the window and the report draw of the marks, computed once from case and review; all in square pixels
// of the decoded picture. Fast enough to be redone after every edit.

// An outline's smooth curve and what is read from it.
struct OutlineView {
  MarkId mark;
  MarkKind kind = MarkKind::kRhexis;
  FrameRef at;
  std::string stage;  // of a rhexis: "completion", "over optic", or empty
  std::vector<PointSq>
      curve;  // closed, through the marked points, dense; the points themselves while under 3
  std::optional<PointSq> centre;        // of the enclosed area
  std::optional<CircleSq> best_circle;  // least squares through the curve
  bool self_crossing = false;           // then nothing is measured from it
};

// The clock face round the eye.
struct DialView {
  PointSq centre;               // of the limbus (else the pupil, else the rhexis) on that frame
  double radius = 0;            // a little outside that outline
  std::vector<OffsetSq> hours;  // directions of 1 to 12 o'clock, length one
  OffsetSq temporal, nasal;     // directions; zero where the eye is not known
  bool confirmed = false;       // by the user, on a labelled picture
};

// A bar of a round length for the picture's corner.
struct ScaleBarView {
  double mm = 1;
  double length_sq = 0;
  double relative_sd = 0;
  Plane plane = Plane::kCornea;
  std::optional<ScaleId> scale;  // empty: from a limbus that no scale names
  bool outside_stretch = false;  // the scale is used outside the stretch it holds for
};

struct OverlapView {
  MarkId rhexis;
  MarkId lens;
  OverlapMap map;
};

struct FrameGeometry {
  FrameRef at;
  std::vector<OutlineView> outlines;  // of the marks on that frame
  std::optional<DialView> dial;       // empty without an outline or without the surgeon's seat
  std::optional<ScaleBarView> scale_bar;
  std::optional<OverlapView> overlap;  // where rhexis and lens edge are marked on that frame
};

// Of one frame, by its exact timestamp.
FrameGeometry ViewFrame(const CaseRecord& record, const Review& review, FrameRef at);

// How this case's recording shows the eye; empty where the seat is not known.
std::optional<EyeOrientation> OrientationOf(const CaseRecord& record, int recording);

// Pixel aspect of a recording (1 where it is not known), for SqFromPx.
double PixelAspectOf(const CaseRecord& record, int recording);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/measure_context.hpp"
#include "metrics/path/tip_path.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// One trail's samples on the case clock, in the eye's own frame where that is known.
struct PreparedTrail {
  std::vector<TipStretch> stretches;
  std::vector<const Mark*> eye_marks;
  FrameError eye_error;
  bool eye_frame = true;
  bool eye_followed = false;    // the eye's frame is that of the followed eye
  double eye_lost_seconds = 0;  // of the trail, left out because the eye was not followed there
  double others_seconds = 0;    // left out because another operator than the trail's had the instruments
};
PreparedTrail PrepareTrail(const MeasureContext& context, const Trail& trail);

// Whose trail it is: who operates at most of its points that lie in a visit (OperatorName); empty where none
// does.
std::string OperatorOfTrail(const MeasureContext& context, const Trail& trail);
// The same where it is not the case's operator.
std::optional<std::string> OtherOperator(const MeasureContext& context, const Trail& trail);

// Consecutive points of a trail without a marked gap, a change of recording or another operator between them,
// of its own operator alone; none is empty.
std::vector<std::vector<TrailPoint>> TrailRuns(const MeasureContext& context, const Trail& trail);

// What a followed place is off by from its neighbours, and what it shares with them: square pixels along each
// axis, standard deviations (how they were measured stands in measure_trails.cpp).
inline constexpr double kFollowedPointSd = 0.3, kFollowedSharedSd = 1.3;

// Whether most of its places were followed.
bool IsFollowed(const Trail& trail);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/tagging.hpp"
#include "app/desktop/timeline/layout.hpp"

#include <optional>

namespace afterscope {

// An edge of a visit of either lane.
struct Boundary {
  FrameRef at;
  VisitId visit;
  VisitEdge edge = VisitEdge::kStart;
};

// The next place after (direction 1) or before (-1) that frame where a visit starts or ends.
std::optional<FrameRef> NextBoundary(const Review& review, FrameRef from, int direction);
// The boundary nearest in time; of several at the same place, the first lane's, and of those the start.
std::optional<Boundary> NearestBoundary(const Review& review, const CaseClock& clock, FrameRef to);
// A boundary moved by so many frames within its recording; the end of the recording counts as one place after
// its last frame. Unchanged where the table is not known.
FrameRef NudgedBoundary(const Tables& tables, FrameRef at, std::int64_t frames);

}  // namespace afterscope

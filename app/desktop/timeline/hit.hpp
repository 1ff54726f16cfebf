// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/timeline/layout.hpp"

#include <optional>

namespace afterscope {

// What lies under the pointer on one of the strips. Pure.
struct TimelineHit {
  const BandRecord* band = nullptr;  // points into the layout
  const MomentRecord* moment = nullptr;
  const BoundaryRecord* boundary = nullptr;  // within `reach` pixels; wins over the band under it
  const FrameRecord* frame = nullptr;
  double seconds = 0;
};

// lane: which of the two rows of bands the pointer is in.
TimelineHit HitOperation(const OperationLayout& layout, float x, float reach, int lane = 0);
TimelineHit HitMoment(const MomentLayout& layout, float x, float reach, int lane = 0);

// The frame whose left edge is nearest to x: where a boundary that is let go there comes to lie. The right
// edge of the last frame in sight counts as the end of its recording (`end_of_last`). Empty without frames.
std::optional<FrameRef> BoundaryAt(const MomentLayout& layout, float x, std::optional<FrameRef> end_of_last);

}  // namespace afterscope

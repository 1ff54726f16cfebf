// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/hit.hpp"

#include <cmath>

namespace afterscope {
namespace {

const BandRecord* BandAt(const std::vector<BandRecord>& bands, float x) {
  for (const BandRecord& band : bands)
    if (x >= band.left && x < band.right) return &band;
  return nullptr;
}

// The record nearest to x, no farther than reach.
template <class Record, class Counts>
const Record* Nearest(const std::vector<Record>& records, float x, float reach, const Counts& counts) {
  const Record* best = nullptr;
  for (const Record& record : records) {
    if (!counts(record)) continue;
    const float distance = std::abs(record.x - x);
    if (distance > reach) continue;
    if (best == nullptr || distance < std::abs(best->x - x)) best = &record;
  }
  return best;
}

constexpr auto kAny = [](const MomentRecord&) { return true; };

}  // namespace

TimelineHit HitOperation(const OperationLayout& layout, float x, float reach, int lane) {
  TimelineHit hit;
  hit.band = BandAt(lane == 0 ? layout.bands : layout.other_hand, x);
  hit.moment = Nearest(layout.moments, x, reach, kAny);
  hit.seconds = layout.strip.SecondsAt(x);
  return hit;
}

TimelineHit HitMoment(const MomentLayout& layout, float x, float reach, int lane) {
  TimelineHit hit;
  hit.boundary = Nearest(layout.boundaries, x, reach,
                         [lane](const BoundaryRecord& boundary) { return boundary.lane == lane; });
  hit.moment = Nearest(layout.moments, x, reach, kAny);
  hit.band = BandAt(lane == 0 ? layout.bands : layout.other_hand, x);
  hit.seconds = layout.strip.SecondsAt(x);
  for (const FrameRecord& frame : layout.frames)
    if (x >= frame.left && x < frame.right) hit.frame = &frame;
  return hit;
}

std::optional<FrameRef> BoundaryAt(const MomentLayout& layout, float x, std::optional<FrameRef> end_of_last) {
  std::optional<FrameRef> best;
  float nearest = 0;
  const auto offer = [&](float edge, FrameRef at) {
    if (best && std::abs(edge - x) >= nearest) return;
    nearest = std::abs(edge - x);
    best = at;
  };
  for (const FrameRecord& frame : layout.frames) offer(frame.left, frame.at);
  if (end_of_last && !layout.frames.empty()) offer(layout.frames.back().right, *end_of_last);
  return best;
}

}  // namespace afterscope

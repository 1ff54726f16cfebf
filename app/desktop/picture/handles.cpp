// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/handles.hpp"

#include "annotate/case/cover.hpp"
#include "app/desktop/desk/mark_edits.hpp"

#include <cmath>

namespace afterscope {
namespace {

bool IsOn(const Mark& mark, FrameRef at) {
  return mark.kind == MarkKind::kCover ? CoverHolds(mark, at) : mark.at == at;
}

}  // namespace

std::vector<Handle> HandlesOn(const Review& review, FrameRef at) {
  std::vector<Handle> handles;
  for (const Mark& mark : review.marks) {
    if (!IsOn(mark, at)) continue;
    const std::vector<PointPx> grips = GripsOf(mark);
    for (std::size_t i = 0; i < grips.size(); ++i) handles.push_back({mark.id, i, grips[i]});
  }
  for (const Trail& trail : review.trails)
    for (std::size_t i = 0; i < trail.points.size(); ++i)
      if (const TrailPoint& point = trail.points[i]; point.at == at) {
        handles.push_back({trail.id, i, point.tip});
        if (point.shaft) handles.push_back({trail.id, i, *point.shaft, TipPart::kShaft});
      }
  return handles;
}

std::optional<Handle> HandleNear(const std::vector<Handle>& handles, const ShownPicture& shown,
                                 const ScreenFromShown& placed, double x, double y, double reach) {
  std::optional<Handle> nearest;
  double best = reach;
  for (const Handle& handle : handles) {
    const auto spot = shown.FromPx(handle.at);
    const double distance = std::hypot(placed.X(spot) - x, placed.Y(spot) - y);
    if (distance > best) continue;
    best = distance;
    nearest = handle;
  }
  return nearest;
}

Review WithHandleMoved(const Review& review, const Handle& held, FrameRef at) {
  Review moved = review;
  if (const auto* mark_id = std::get_if<MarkId>(&held.of)) {
    for (Mark& mark : moved.marks)
      if (mark.id == *mark_id) MoveGrip(mark, held.index, held.at);
    return moved;
  }
  for (Trail& trail : moved.trails)
    for (TrailPoint& point : trail.points)
      if (trail.id == std::get<TrailId>(held.of) && point.at == at)
        held.part == TipPart::kShaft ? point.shaft.emplace(held.at) : point.tip = held.at;
  return moved;
}

}  // namespace afterscope

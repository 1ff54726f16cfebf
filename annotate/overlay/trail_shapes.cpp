// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/parts.hpp"

#include <algorithm>

namespace afterscope {

namespace {

bool GapBetween(const Trail& trail, FrameRef a, FrameRef b) {
  return std::any_of(trail.gaps.begin(), trail.gaps.end(),
                     [&](const TrailGap& gap) { return gap.range.start < b && a < gap.range.end; });
}

}  // namespace

void AddTip(const FrameView& view, const Trail& trail, ShapeList& shapes) {
  for (const TrailPoint& point : trail.points)
    if (point.at == view.at) shapes.emplace_back(DotShape{Role::kTip, SqFromPx(point.tip, view.aspect), 4});
}

void AddTrail(const FrameView& view, const Trail& trail, double trail_seconds, ShapeList& shapes) {
  const Rational base = view.record.recordings[static_cast<std::size_t>(view.at.recording)].shape.time_base;
  const auto shown = [&](const TrailPoint& point) {
    if (point.at.recording != view.at.recording) return false;
    if (trail_seconds < 0) return true;
    const double before = (view.at.pts - point.at.pts).Seconds(base);
    return before >= 0 && before <= trail_seconds;
  };
  PolylineShape line{Role::kTrail, {}, false, false, 1.2, LineStyle::kSolid};
  const auto finish = [&] {
    if (line.points.size() >= 2) shapes.emplace_back(line);
    line.points.clear();
  };
  const TrailPoint* last = nullptr;
  for (const TrailPoint& point : trail.points) {
    if (!shown(point)) continue;
    if (last && GapBetween(trail, last->at, point.at)) finish();
    line.points.push_back(SqFromPx(point.tip, view.aspect));
    last = &point;
  }
  finish();
}

}  // namespace afterscope

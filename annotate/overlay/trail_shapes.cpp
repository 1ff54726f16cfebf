// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/outline_track.hpp"
#include "annotate/overlay/parts.hpp"

#include <algorithm>

namespace afterscope {

namespace {

bool GapBetween(const Trail& trail, FrameRef a, FrameRef b) {
  return std::any_of(trail.gaps.begin(), trail.gaps.end(),
                     [&](const TrailGap& gap) { return gap.range.start < b && a < gap.range.end; });
}

double SecondsOf(const FrameView& view, FrameRef at) {
  const RecordingShape& shape = view.record.recordings[static_cast<std::size_t>(at.recording)].shape;
  return (at.pts - shape.first).Seconds(shape.time_base);
}

// Of the recording that is looked at, in order of time.
std::vector<const TrailPoint*> ShownPoints(const FrameView& view, const Trail& trail, double trail_seconds) {
  std::vector<const TrailPoint*> shown;
  for (const TrailPoint& point : trail.points) {
    if (point.at.recording != view.at.recording) continue;
    const double before = SecondsOf(view, view.at) - SecondsOf(view, point.at);
    if (trail_seconds < 0 || (before >= 0 && before <= trail_seconds)) shown.push_back(&point);
  }
  return shown;
}

}  // namespace

void AddTip(const FrameView& view, const Trail& trail, bool shafts, ShapeList& shapes) {
  for (const TrailPoint& point : trail.points) {
    if (point.at != view.at) continue;
    const PointSq tip = SqFromPx(point.tip, view.aspect);
    if (shafts && point.shaft) {
      const PointSq along = SqFromPx(*point.shaft, view.aspect);
      shapes.emplace_back(PolylineShape{Role::kTip, {tip, along}, false, false, 1.2, LineStyle::kDashed});
      shapes.emplace_back(DotShape{Role::kTip, along, 2.5});
    }
    shapes.emplace_back(DotShape{Role::kTip, tip, 4});
  }
}

void AddTrail(const FrameView& view, const Trail& trail, double trail_seconds, ShapeList& shapes) {
  const std::vector<const TrailPoint*> shown = ShownPoints(view, trail, trail_seconds);
  if (shown.empty()) return;
  const auto seconds = [&](FrameRef at) { return SecondsOf(view, at); };
  const auto track = OutlineTrack::Of(view.record, view.review, view.at.recording,
                                      std::min(seconds(shown.front()->at), seconds(view.at)),
                                      std::max(seconds(shown.back()->at), seconds(view.at)));
  PolylineShape line{Role::kTrail, {}, false, false, 1.2, track ? LineStyle::kSolid : LineStyle::kDashed};
  const auto finish = [&] {
    if (line.points.size() >= 2) shapes.emplace_back(line);
    line.points.clear();
  };
  const TrailPoint* last = nullptr;
  for (const TrailPoint* point : shown) {
    if (last && GapBetween(trail, last->at, point->at)) finish();
    PointSq at = SqFromPx(point->tip, view.aspect);
    if (track) at = at + (track->At(seconds(view.at)) - track->At(seconds(point->at)));
    line.points.push_back(at);
    last = point;
  }
  finish();
}

}  // namespace afterscope

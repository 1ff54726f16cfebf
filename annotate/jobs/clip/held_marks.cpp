// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/held_marks.hpp"

#include "annotate/jobs/geometry_view.hpp"
#include "annotate/jobs/outline_track.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace afterscope {
namespace {

bool IsHeld(MarkKind kind) { return kind != MarkKind::kCover && kind != MarkKind::kGrasp; }

// By kind, the instant at which it was marked last at or before the frame.
std::map<MarkKind, Pts> LastMarked(const RecordingShape& shape, const Review& review, FrameRef at) {
  std::map<MarkKind, Pts> last;
  for (const Mark& mark : review.marks) {
    if (!IsHeld(mark.kind) || mark.at.recording != at.recording || at < mark.at) continue;
    if ((at.pts - mark.at.pts).Seconds(shape.time_base) > kHoldSeconds) continue;
    const auto found = last.try_emplace(mark.kind, mark.at.pts).first;
    found->second = std::max(found->second, mark.at.pts);
  }
  return last;
}

// The outlines from which the eye's movement in these seconds is known.
Review OutlinesNear(const CaseRecord& record, const Review& review, FrameRef at) {
  const RecordingShape& shape = record.recordings[static_cast<std::size_t>(at.recording)].shape;
  Review near;
  for (const Mark& mark : review.marks)
    if ((mark.kind == MarkKind::kLimbus || mark.kind == MarkKind::kPupil) &&
        mark.at.recording == at.recording &&
        std::abs((at.pts - mark.at.pts).Seconds(shape.time_base)) <= kHoldSeconds + kOutlineTrackReach)
      near.marks.push_back(mark);
  return near;
}

OffsetSq MovementOf(const CaseRecord& record, const Review& outlines, int recording, double from, double to) {
  const auto track = OutlineTrack::Of(record, outlines, recording, from, to);
  return track ? track->At(to) - track->At(from) : OffsetSq{};
}

}  // namespace

Review HeldMarks(const CaseRecord& record, const Review& review, FrameRef at) {
  Review held = review;
  if (at.recording < 0 || at.recording >= static_cast<int>(record.recordings.size())) return held;
  const RecordingShape& shape = record.recordings[static_cast<std::size_t>(at.recording)].shape;
  const double aspect = PixelAspectOf(record, at.recording);
  const auto last = LastMarked(shape, review, at);
  const Review outlines = OutlinesNear(record, review, at);
  const auto seconds = [&](Pts pts) { return (pts - shape.first).Seconds(shape.time_base); };
  std::map<Pts, OffsetSq> movements;
  for (Mark& mark : held.marks) {
    const auto shown = last.find(mark.kind);
    if (shown == last.end() || mark.at.recording != at.recording || mark.at.pts != shown->second ||
        mark.at == at)
      continue;
    const auto [movement, fresh] = movements.try_emplace(mark.at.pts);
    if (fresh)
      movement->second = MovementOf(record, outlines, at.recording, seconds(mark.at.pts), seconds(at.pts));
    for (PointPx& point : mark.points) point = PxFromSq(SqFromPx(point, aspect) + movement->second, aspect);
    mark.at = at;
  }
  std::stable_sort(held.marks.begin(), held.marks.end(),
                   [](const Mark& a, const Mark& b) { return a.at < b.at; });
  return held;
}

}  // namespace afterscope

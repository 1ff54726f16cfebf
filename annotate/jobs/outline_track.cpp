// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/outline_track.hpp"

#include "annotate/jobs/geometry_view.hpp"
#include "metrics/geometry/closed_curve.hpp"
#include "metrics/geometry/polygon.hpp"

#include <algorithm>
#include <iterator>
#include <map>

namespace afterscope {
namespace {

using Instants = std::map<double, const Mark*>;

// The marks of a kind within the stretch and the nearest on both its sides.
Instants MarksAround(const CaseRecord& record, const Review& review, int recording, MarkKind kind,
                     HalfOpen<double> stretch) {
  const RecordingShape& shape = record.recordings[static_cast<std::size_t>(recording)].shape;
  Instants all;
  for (const Mark& mark : review.marks)
    if (mark.kind == kind && mark.at.recording == recording && mark.points.size() >= 3)
      all.emplace((mark.at.pts - shape.first).Seconds(shape.time_base), &mark);
  auto begin = all.lower_bound(stretch.start);
  if (begin != all.begin()) --begin;
  auto end = all.upper_bound(stretch.end);
  if (end != all.end()) ++end;
  return {begin, end};
}

}  // namespace

std::optional<OutlineTrack> OutlineTrack::Of(const CaseRecord& record, const Review& review, int recording,
                                             double from, double to) {
  if (recording < 0 || recording >= static_cast<int>(record.recordings.size())) return std::nullopt;
  const double aspect = PixelAspectOf(record, recording);
  for (const MarkKind kind : {MarkKind::kLimbus, MarkKind::kPupil}) {
    std::vector<double> seconds;
    std::vector<PointSq> centres;
    for (const auto& [instant, mark] : MarksAround(record, review, recording, kind, {from, to})) {
      const auto curve = SmoothClosedCurve::Through(SqFromPx(mark->points, aspect));
      const auto centre = curve ? Centroid(curve->Sample()) : std::nullopt;
      if (!centre) continue;
      seconds.push_back(instant);
      centres.push_back(*centre);
    }
    if (seconds.size() >= 2 && seconds.front() <= from + kOutlineTrackReach &&
        seconds.back() >= to - kOutlineTrackReach)
      return OutlineTrack(std::move(seconds), std::move(centres));
  }
  return std::nullopt;
}

PointSq OutlineTrack::At(double seconds) const {
  const auto after = std::upper_bound(seconds_.begin(), seconds_.end(), seconds) - seconds_.begin();
  const auto b = static_cast<std::size_t>(
      std::clamp<std::ptrdiff_t>(after, 1, static_cast<std::ptrdiff_t>(seconds_.size()) - 1));
  const double share = std::clamp((seconds - seconds_[b - 1]) / (seconds_[b] - seconds_[b - 1]), 0.0, 1.0);
  return Lerp(centres_[b - 1], centres_[b], share);
}

}  // namespace afterscope

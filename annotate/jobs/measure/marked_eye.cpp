// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/marked_eye.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {

std::optional<MarkedEye> MarkedEye::During(const MeasureContext& context, int recording, double from,
                                           double to) {
  for (const MarkKind kind : {MarkKind::kLimbus, MarkKind::kPupil}) {
    std::vector<std::pair<double, const MarkedOutline*>> found;
    for (const MarkedOutline& o : context.outlines)
      if (o.model && o.mark->kind == kind && o.mark->at.recording == recording)
        found.emplace_back(context.clock.Seconds(o.mark->at), &o);
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<double> instants;
    std::vector<PointSq> centres;
    std::vector<const Mark*> marks;
    for (const auto& [seconds, outline] : found) {
      if (!instants.empty() && seconds <= instants.back()) continue;
      instants.push_back(seconds);
      centres.push_back(outline->model->Mean().Centroid());
      marks.push_back(outline->mark);
    }
    if (instants.size() >= 2 && instants.front() <= from + kOutlineTrackReach &&
        instants.back() >= to - kOutlineTrackReach)
      return MarkedEye({std::move(instants), std::move(centres)}, std::move(marks));
  }
  return std::nullopt;
}

FrameError MarkedEye::Error(double point_sd) const {
  double variance = 0;
  for (const Mark* mark : marks_)
    variance += 2 / static_cast<double>(mark->points.size()) / static_cast<double>(marks_.size());
  return {track_.instants(), point_sd * std::sqrt(variance)};
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/marked_eye.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kReach = 1.0;  // seconds beyond the outermost mark

}  // namespace

std::optional<MarkedEye> MarkedEye::During(const MeasureContext& context, int recording, double from,
                                           double to) {
  for (const MarkKind kind : {MarkKind::kLimbus, MarkKind::kPupil}) {
    std::vector<std::pair<double, const MarkedOutline*>> found;
    for (const MarkedOutline& o : context.outlines)
      if (o.model && o.mark->kind == kind && o.mark->at.recording == recording)
        found.emplace_back(context.clock.Seconds(o.mark->at), &o);
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    MarkedEye out;
    for (const auto& [seconds, outline] : found) {
      if (!out.seconds_.empty() && seconds <= out.seconds_.back()) continue;
      out.seconds_.push_back(seconds);
      out.centre_.push_back(outline->model->Mean().Centroid());
      out.marks_.push_back(outline->mark);
    }
    if (out.seconds_.size() >= 2 && out.seconds_.front() <= from + kReach &&
        out.seconds_.back() >= to - kReach)
      return out;
  }
  return std::nullopt;
}

FrameError MarkedEye::Error(double point_sd) const {
  double variance = 0;
  for (const Mark* mark : marks_)
    variance += 2 / static_cast<double>(mark->points.size()) / static_cast<double>(marks_.size());
  return {seconds_, point_sd * std::sqrt(variance)};
}

PointSq MarkedEye::At(double seconds) const {
  const auto after = std::upper_bound(seconds_.begin(), seconds_.end(), seconds) - seconds_.begin();
  const auto b = static_cast<std::size_t>(
      std::clamp<std::ptrdiff_t>(after, 1, static_cast<std::ptrdiff_t>(seconds_.size()) - 1));
  const double share = std::clamp((seconds - seconds_[b - 1]) / (seconds_[b] - seconds_[b - 1]), 0.0, 1.0);
  return Lerp(centre_[b - 1], centre_[b], share);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/followed.hpp"

#include <algorithm>
#include <map>

namespace afterscope {
namespace {

bool InGap(const Trail& trail, FrameRef at) {
  return std::any_of(trail.gaps.begin(), trail.gaps.end(),
                     [&](const TrailGap& gap) { return gap.range.Contains(at); });
}

}  // namespace

std::vector<TrailPoint> HandPoints(const Trail& trail) {
  std::vector<TrailPoint> out;
  std::copy_if(trail.points.begin(), trail.points.end(), std::back_inserter(out),
               [](const TrailPoint& p) { return p.source != TrailSource::kFollowed; });
  return out;
}

Trail WithFollowed(const Trail& trail, const FollowedTrail& followed) {
  Trail out = trail;
  out.points = HandPoints(trail);
  std::map<FrameRef, TrailPoint> points;
  for (const TrailPoint& p : out.points) points[p.at] = p;
  std::optional<FrameRef> gap_start;
  const auto close_gap = [&](FrameRef end) {
    if (gap_start) out.gaps.push_back({{*gap_start, end}, false});
    gap_start.reset();
  };
  for (const FollowedTip& tip : followed.tips) {
    const bool out_by_hand = InGap(trail, tip.at);
    if (points.contains(tip.at) || out_by_hand) {
      close_gap(tip.at);
    } else if (tip.tip && tip.confidence >= followed.least_confidence) {
      close_gap(tip.at);
      points[tip.at] = {tip.at, *tip.tip, TrailSource::kFollowed, tip.confidence};
    } else if (!gap_start) {
      gap_start = tip.at;
    }
  }
  close_gap({followed.recording, followed.range.end});
  out.points.clear();
  for (const auto& [at, point] : points) out.points.push_back(point);
  std::stable_sort(out.gaps.begin(), out.gaps.end(),
                   [](const TrailGap& a, const TrailGap& b) { return a.range.start < b.range.start; });
  return out;
}

Review WithFollowed(const Review& review, const Followed& followed) {
  Review out = review;
  for (Trail& trail : out.trails)
    for (const FollowedTrail& f : followed.trails)
      if (f.trail == trail.id) trail = WithFollowed(trail, f);
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build/parts.hpp"

#include <algorithm>

namespace afterscope {

namespace {

constexpr int kMostTrailPx = 1280;

OverlayOptions WhatTrailShows() {
  OverlayOptions options;
  options.trail_seconds = -1;
  options.dial = options.rulers = options.notes = options.best_circle = options.overlap = false;
  return options;
}

std::string TitleOf(const ReportBuild& build, const Trail& trail) {
  std::string title = trail.instrument.empty() ? trail.id.value : build.NameOf(trail.instrument);
  if (trail.hand == "main" || trail.hand == "other") title += ", " + build.Text("trail.hand." + trail.hand);
  return title;
}

// Only this trail, drawn over its middle frame.
std::optional<PictureIndex> PictureOf(ReportBuild& build, const Trail& trail) {
  if (trail.points.empty()) return std::nullopt;
  const FrameRef at = trail.points[trail.points.size() / 2].at;
  Review shown = build.in.review;
  std::erase_if(shown.trails, [&](const Trail& other) { return other.id != trail.id; });
  return build.AddPicture(at, shown, WhatTrailShows(), build.Text("trail.caption"), kMostTrailPx);
}

}  // namespace

void FillTrails(ReportBuild& build) {
  for (const Trail& trail : build.in.review.trails) {
    TrailPanel panel{TitleOf(build, trail), PictureOf(build, trail), {}};
    for (const Finding& finding : build.in.findings)
      if (finding.trail == trail.id && finding.name.starts_with("path.") && finding.name != "path.sparc" &&
          !finding.name.starts_with("path.ldlj"))
        panel.findings.push_back(build.Present(finding));
    build.model.trails.push_back(std::move(panel));
  }
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/tip_map_shapes.hpp"
#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"

#include <algorithm>

namespace afterscope {

namespace {

constexpr int kMostTrailPx = 1280, kMostMapPx = 1280;
constexpr double kMapAir = 1.2;
constexpr std::size_t kMostMaps = 16;  // of a trail

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

// One picture a step, of the eye alone, so that they can be compared.
void AddMaps(ReportBuild& build, const Trail& trail, TrailPanel& panel) {
  OverlayOptions options = WhatTrailShows();
  options.tips = options.trail = false;
  for (const TipMap& map : build.in.tip_maps) {
    if (map.trail != trail.id || panel.maps.size() >= kMostMaps) continue;
    const auto part = SquareAround(map.limbus, kMapAir, build.ShownOf(map.at));
    options.mm_bar_corner.reset();
    if (part) options.mm_bar_corner = {part->x, part->y + part->height};
    const auto index = build.AddPicture(
        map.at, build.in.review, options,
        build.Filled("trail.map", build.in.steps.NameOf(map.step), FormatLength(map.seconds)), kMostMapPx);
    if (!index) continue;
    panel.maps.push_back(*index);
    ReportPicture& picture = build.model.pictures[*index];
    const ShapeList mapped = ShapesOfTipMap(map);
    picture.shapes.insert(picture.shapes.begin(), mapped.begin(), mapped.end());  // covers lie over it
    if (!picture.image.empty()) picture.part = part;
  }
}

}  // namespace

void FillTrails(ReportBuild& build) {
  for (const Trail& trail : build.in.review.trails) {
    TrailPanel panel{TitleOf(build, trail), PictureOf(build, trail), {}, {}};
    AddMaps(build, trail, panel);
    for (const Finding& finding : build.in.findings)
      if (finding.trail == trail.id && finding.name.starts_with("path.") && finding.name != "path.sparc" &&
          !finding.name.starts_with("path.ldlj"))
        panel.findings.push_back(build.PresentWithOperator(finding));
    build.model.trails.push_back(std::move(panel));
  }
}

}  // namespace afterscope

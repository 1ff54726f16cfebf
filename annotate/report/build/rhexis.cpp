// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/geometry_view.hpp"
#include "annotate/overlay/dial_shapes.hpp"
#include "annotate/report/build/parts.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

namespace {

constexpr int kMostRhexisPx = 1400;
constexpr double kAir = 1.25;

OverlayOptions WhatRhexisShows() {
  OverlayOptions options;
  options.tips = options.trail = options.notes = false;
  options.handles = true;
  options.handle_pt = 1.2;
  return options;
}

bool IsOf(const Finding& finding, const Mark& mark) {
  return finding.name.starts_with("rhexis.") && !finding.marks.empty() && finding.marks.front() == mark.id;
}

// Round the dial, or round the outlines with some air.
std::optional<ReportPicture::Part> PartAround(const FrameGeometry& geometry, const ShownPicture& shown) {
  if (geometry.dial) {
    const double reach = geometry.dial->radius * kDialReach;
    return SquareAround(
        {geometry.dial->centre - OffsetSq{reach, reach}, geometry.dial->centre + OffsetSq{reach, reach}}, 1,
        shown);
  }
  std::vector<PointSq> points;
  for (const OutlineView& outline : geometry.outlines)
    points.insert(points.end(), outline.curve.begin(), outline.curve.end());
  return SquareAround(points, kAir, shown);
}

void AddCover(const ReportBuild& build, const FrameGeometry& geometry, const Mark& mark, RhexisPanel& panel) {
  const auto orientation = OrientationOf(build.in.record, mark.at.recording);
  if (!geometry.overlap || geometry.overlap->rhexis != mark.id || !orientation) {
    panel.cover_note = build.Text("rhexis.cover.none");
    return;
  }
  for (const OverlapSector& sector : geometry.overlap->map.sectors)
    panel.cover.push_back({ClockHourFromDial(DialFromPicture(*orientation, sector.direction)), sector.kind});
  std::sort(panel.cover.begin(), panel.cover.end(),
            [](const CoverSector& a, const CoverSector& b) { return a.clock_hour < b.clock_hour; });
  const std::string prefix =
      panel.findings.empty() || !panel.findings.front().finding.name.starts_with("rhexis.over_optic.")
          ? "rhexis."
          : "rhexis.over_optic.";
  std::vector<std::optional<Estimate>> hours(12);
  for (const Finding& finding : build.in.findings)
    for (int hour = 1; hour <= 12 && IsOf(finding, mark); ++hour)
      if (finding.name == fmt::format("{}overlap_clock_{}", prefix, hour) && finding.measured.unit == "mm")
        hours[static_cast<std::size_t>(hour - 1)] = finding.measured.estimate;
  if (std::any_of(hours.begin(), hours.end(), [](const auto& h) { return h.has_value(); }))
    panel.cover_mm = std::move(hours);
}

RhexisPanel PanelOf(ReportBuild& build, const Mark& mark) {
  RhexisPanel panel;
  const auto stage = mark.fields.find("stage");
  panel.title = build.Text(stage != mark.fields.end() && stage->second == "over optic" ? "rhexis.over_optic"
                                                                                       : "rhexis.completion");
  for (const Finding& finding : build.in.findings)
    if (IsOf(finding, mark) && finding.name.find(".overlap_clock_") == std::string::npos)
      panel.findings.push_back(build.Present(finding));
  const FrameGeometry geometry = ViewFrame(build.in.record, build.in.review, mark.at);
  const std::optional<ReportPicture::Part> part = PartAround(geometry, build.ShownOf(mark.at));
  OverlayOptions drawn = WhatRhexisShows();
  if (part) drawn.mm_bar_corner = {part->x, part->y + part->height};
  panel.picture =
      build.AddPicture(mark.at, build.in.review, drawn, build.Text("rhexis.caption"), kMostRhexisPx);
  if (panel.picture && !build.model.pictures[*panel.picture].image.empty())
    build.model.pictures[*panel.picture].part = part;
  AddCover(build, geometry, mark, panel);
  return panel;
}

}  // namespace

void FillRhexis(ReportBuild& build) {
  for (const Mark& mark : build.in.review.marks)
    if (mark.kind == MarkKind::kRhexis) build.model.rhexis.push_back(PanelOf(build, mark));
}

}  // namespace afterscope

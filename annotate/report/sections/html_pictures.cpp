// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"
#include "annotate/report/sections/cover_look.hpp"
#include "annotate/report/sections/html_sections.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

// What lies under each clock hour: the state of the nearest sector.
Overlap StateAt(const std::vector<CoverSector>& cover, int hour) {
  const CoverSector* nearest = &cover.front();
  const auto distance = [&](const CoverSector& sector) {
    const double d = std::abs(sector.clock_hour - hour);
    return std::min(d, 12 - d);
  };
  for (const CoverSector& sector : cover)
    if (distance(sector) < distance(*nearest)) nearest = &sector;
  return nearest->kind;
}

void WriteCover(HtmlPage& page, const RhexisPanel& panel) {
  page.Element("h4", "", page.Text("rhexis.cover"));
  if (panel.cover.empty()) return page.Element("p", "small", panel.cover_note);
  page.out += "<table class=\"cover\"><tbody>\n";
  for (int hour = 1; hour <= 12; ++hour) {
    const CoverLook look = LookOfCover(StateAt(panel.cover, hour));
    const auto index = static_cast<std::size_t>(hour - 1);
    std::string millimetres = "–", limits;
    if (index < panel.cover_mm.size() && panel.cover_mm[index]) {
      const EstimateText text = FormatEstimate(*panel.cover_mm[index], "mm");
      millimetres = text.value;
      limits = text.limits;
    }
    page.out += fmt::format(
        "<tr><th scope=\"row\">{}</th><td class=\"n value\">{}</td><td>{}</td><td><i "
        "class=\"{}\"></i>{}</td></tr>\n",
        hour, EscapeHtml(millimetres), EscapeHtml(limits), std::string(look.text_key).substr(6),
        EscapeHtml(page.Text(look.text_key)));
  }
  page.out += "</tbody></table>\n";
}

}  // namespace

void WriteRhexis(HtmlPage& page) {
  if (page.model.rhexis.empty()) return;
  page.OpenSection("rhexis");
  for (const RhexisPanel& panel : page.model.rhexis) {
    page.Element("h3", "", panel.title);
    page.out += "<div class=\"beside\">\n";
    if (panel.picture) page.PictureFigure(page.model.pictures[*panel.picture], 900, "plate");
    page.out += "<div>\n";
    WriteCover(page, panel);
    page.out += "</div>\n</div>\n";
    page.Findings(panel.findings, true);
  }
  page.CloseSection();
}

void WriteTrails(HtmlPage& page) {
  if (page.model.trails.empty()) return;
  page.OpenSection("trail");
  for (const TrailPanel& panel : page.model.trails) {
    page.Element("h3", "", panel.title);
    if (panel.picture) page.PictureFigure(page.model.pictures[*panel.picture], 900, "wide");
    if (!panel.maps.empty()) {
      page.Element("h4", "", page.Text("trail.maps"));
      page.out += "<div class=\"maps\">\n";
      for (const PictureIndex map : panel.maps) page.PictureFigure(page.model.pictures[map], 480, "map");
      page.out += "</div>\n";
      page.Element("p", "small", page.Text("trail.maps.method"));
    }
    page.Findings(panel.findings, true);
  }
  page.CloseSection();
}

void WriteOtherFindings(HtmlPage& page) {
  if (page.model.other_findings.empty()) return;
  page.OpenSection("other");
  for (const FindingGroup& group : page.model.other_findings) {
    page.Element("h3", "", group.title);
    page.Findings(group.findings, true);
  }
  page.CloseSection();
}

}  // namespace afterscope

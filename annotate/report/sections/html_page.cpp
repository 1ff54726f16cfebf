// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/finding_rows.hpp"
#include "annotate/report/picture_painter.hpp"
#include "annotate/report/sections/html_sections.hpp"

#include <fmt/format.h>

namespace afterscope {

void HtmlPage::Element(const std::string& tag, const std::string& css_class, const std::string& text) {
  const std::string attribute = css_class.empty() ? "" : fmt::format(" class=\"{}\"", css_class);
  out += fmt::format("<{0}{1} dir=\"auto\">{2}</{0}>\n", tag, attribute, EscapeHtml(text));
}

void HtmlPage::OpenSection(const std::string& key) {
  out += fmt::format("<section id=\"section-{}\">\n<h2>{}</h2>\n", EscapeHtml(key), EscapeHtml(Text(key)));
}

std::string HtmlPage::FrameLink(const std::vector<ReportFrame>& frames, std::size_t most) const {
  if (frames.empty()) return {};
  const std::string text = EscapeHtml(FramesText(model, frames, most));
  const std::string place = PlaceOf(frames.front().ref);
  if (!PlacesOf(model).contains(place)) return fmt::format("<span class=\"frame\">{}</span>", text);
  return fmt::format("<a class=\"frame\" href=\"#{}\">{}</a>", place, text);
}

std::string HtmlPage::PlaceAttribute(FrameRef frame) {
  const std::string place = PlaceOf(frame);
  return places.insert(place).second ? fmt::format(" id=\"{}\"", place) : "";
}

void HtmlPage::Findings(const std::vector<ReportFinding>& findings, bool with_notes) {
  const FindingRows table = RowsOf(model, findings, with_notes);
  if (!table.rows.empty())
    out += fmt::format(
        "<table class=\"findings\"><thead><tr><th></th><th></th><th>{}</th><th>{}</th></tr></thead>\n",
        EscapeHtml(Text("findings.limits")), EscapeHtml(Text("findings.from")));
  for (const FindingRows::Row& row : table.rows)
    out += fmt::format(
        "<tr><th scope=\"row\" dir=\"auto\">{}</th><td class=\"value\">{}</td><td data-name=\"{}\">{}</td>"
        "<td>{}</td></tr>\n",
        EscapeHtml(row.label), EscapeHtml(row.text.value), EscapeHtml(Text("findings.limits")),
        EscapeHtml(row.text.limits), FrameLink(row.finding->frames));
  if (!table.rows.empty()) out += "</table>\n";
  for (const std::string& line : table.missing) Element("p", "small", line);
  for (const std::string& note : table.notes) Element("p", "note", note);
}

void HtmlPage::PictureFigure(const ReportPicture& picture, int width_px, const std::string& css_class) {
  out += fmt::format("<figure class=\"{}\"{}>\n", css_class, PlaceAttribute(picture.frame.ref));
  constexpr double kPointsAcross = 300;
  const std::string jpeg =
      PictureAsJpeg(picture, width_px, width_px < 600 ? 0.6 * kPointsAcross : kPointsAcross);
  std::string caption = picture.caption;
  if (jpeg.empty()) {
    Element("p", "none", picture.missing);
  } else {
    out += fmt::format("<img alt=\"{}\" src=\"data:image/jpeg;base64,{}\">\n",
                       EscapeHtml(FrameText(model, picture.frame)), Base64(jpeg));
  }
  if (picture.damaged) caption += (caption.empty() ? "" : " ") + Text("picture.damaged");
  out += fmt::format("<figcaption dir=\"auto\">{}{}<span class=\"frame\">{}</span></figcaption>\n</figure>\n",
                     EscapeHtml(caption), caption.empty() ? "" : "<br>",
                     EscapeHtml(FrameText(model, picture.frame)));
}

std::set<std::string> PlacesOf(const ReportModel& model) {
  std::set<std::string> places;
  for (const ReportPicture& picture : model.pictures) places.insert(PlaceOf(picture.frame.ref));
  for (const MomentRow& row : model.moments) places.insert(PlaceOf(row.at.ref));
  return places;
}

}  // namespace afterscope

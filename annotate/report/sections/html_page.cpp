// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "annotate/report/frame_text.hpp"
#include "annotate/report/picture_painter.hpp"
#include "annotate/report/sections/html_sections.hpp"

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
  if (findings.empty()) return;
  out += fmt::format("<table class=\"findings\"><thead><tr><th></th><th></th><th>{}</th><th>{}</th></tr></thead>\n",
                     EscapeHtml(Text("findings.limits")), EscapeHtml(Text("findings.from")));
  for (const ReportFinding& finding : findings) {
    const FindingText text = TextOf(model, finding);
    std::string label = EscapeHtml(finding.label);
    if (!text.note.empty() && (with_notes || !text.computed))
      label += fmt::format("<p class=\"note\" dir=\"auto\">{}</p>", EscapeHtml(text.note));
    out += fmt::format("<tr><th scope=\"row\" dir=\"auto\">{}</th><td class=\"{}\">{}</td><td>{}</td><td>{}</td></tr>\n",
                       label, text.computed ? "value" : "none", EscapeHtml(text.value), EscapeHtml(text.limits),
                       FrameLink(finding.frames));
  }
  out += "</table>\n";
}

void HtmlPage::PictureFigure(const ReportPicture& picture, int width_px, const std::string& css_class) {
  out += fmt::format("<figure class=\"{}\"{}>\n", css_class, PlaceAttribute(picture.frame.ref));
  constexpr double kPointsAcross = 300;
  const std::string jpeg = PictureAsJpeg(picture, width_px, width_px < 600 ? 0.6 * kPointsAcross : kPointsAcross);
  std::string caption = picture.caption;
  if (jpeg.empty()) {
    Element("p", "none", picture.missing);
  } else {
    out += fmt::format("<img alt=\"{}\" src=\"data:image/jpeg;base64,{}\">\n",
                       EscapeHtml(FrameText(model, picture.frame)), Base64(jpeg));
  }
  if (picture.damaged) caption += (caption.empty() ? "" : " ") + Text("picture.damaged");
  out += fmt::format("<figcaption dir=\"auto\">{}{}<span class=\"frame\">{}</span></figcaption>\n</figure>\n",
                     EscapeHtml(caption), caption.empty() ? "" : "<br>", EscapeHtml(FrameText(model, picture.frame)));
}

std::set<std::string> PlacesOf(const ReportModel& model) {
  std::set<std::string> places;
  for (const ReportPicture& picture : model.pictures) places.insert(PlaceOf(picture.frame.ref));
  for (const MomentRow& row : model.moments) places.insert(PlaceOf(row.at.ref));
  return places;
}

}  // namespace afterscope

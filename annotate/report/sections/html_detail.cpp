// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"
#include "annotate/report/frame_text.hpp"
#include "annotate/report/sections/html_sections.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

void WriteMoment(HtmlPage& page, const MomentRow& row) {
  page.out += "<div class=\"beside moment\">\n";
  if (row.picture) page.PictureFigure(page.model.pictures[*row.picture], 480, "thumb");
  page.out += "<div" + page.PlaceAttribute(row.at.ref) + ">\n";
  page.Element(
      "h3", "",
      FormatClock(row.at.case_seconds) + "   " + row.kind_name + (row.title.empty() ? "" : ": " + row.title));
  if (!row.step_name.empty()) page.Element("p", "small", row.step_name);
  if (!row.text.empty()) page.Element("p", "voice", row.text);
  if (!row.fields.empty()) page.Element("p", "small", FieldsText(row.fields));
  if (!row.picture) page.Element("p", "frame", FrameText(page.model, row.at));
  page.out += "</div>\n</div>\n";
}

std::string CheckClass(CheckState state) {
  switch (state) {
    case CheckState::kNotReviewed:
      return "not-reviewed";
    case CheckState::kSeenDone:
      return "seen-done";
    case CheckState::kSeenNotDone:
      return "seen-not-done";
    case CheckState::kNotVisible:
      return "not-visible";
  }
  return "not-reviewed";
}

void WriteLine(HtmlPage& page, const std::string& name, const std::string& text, const std::string& small) {
  page.Element("dt", "", name);
  page.out += "<dd>";
  page.Element("p", "", text);
  if (!small.empty()) page.Element("p", "frame", small);
  page.out += "</dd>\n";
}

}  // namespace

void WriteMoments(HtmlPage& page) {
  if (page.model.moments.empty()) return;
  page.OpenSection("moments");
  for (const MomentRow& row : page.model.moments) WriteMoment(page, row);
  page.CloseSection();
}

void WriteSettings(HtmlPage& page) {
  if (page.model.settings.empty()) return;
  page.OpenSection("settings");
  page.Element("p", "small", page.Text("settings.note"));
  page.out += "<table>\n";
  for (const MomentRow& row : page.model.settings) {
    std::string set = page.Text("settings.set") + ": " + row.title;
    if (!row.title.empty() && !row.fields.empty()) set += "  ·  ";
    set += FieldsText(row.fields);
    page.out += fmt::format("<tr><td>{}</td><td dir=\"auto\">{}</td><td dir=\"auto\">{}{}</td></tr>\n",
                            page.FrameLink({row.at}), EscapeHtml(row.step_name), EscapeHtml(set),
                            row.text.empty() ? "" : "<br>" + EscapeHtml(row.text));
  }
  page.out += "</table>\n";
  page.CloseSection();
}

void WriteChecks(HtmlPage& page) {
  if (page.model.checks.empty()) return;
  page.OpenSection("checks");
  page.out += "<table class=\"checks\">\n";
  for (const CheckRow& check : page.model.checks)
    page.out +=
        fmt::format("<tr><th scope=\"row\" dir=\"auto\"><i class=\"{}\"></i>{}</th><td>{}</td></tr>\n",
                    CheckClass(check.state), EscapeHtml(check.name), EscapeHtml(check.state_name));
  page.out += "</table>\n";
  page.CloseSection();
}

void WriteScores(HtmlPage& page) {
  if (page.model.scores.empty()) return;
  page.OpenSection("scores");
  for (const ScorePanel& panel : page.model.scores) {
    page.Element("h3", "", panel.title);
    page.out += "<table>\n";
    for (const ScoreRow& row : panel.rows)
      page.out += fmt::format(
          "<tr><th scope=\"row\" dir=\"auto\">{}</th><td dir=\"auto\">{}{}</td><td>{}</td></tr>\n",
          EscapeHtml(row.name), EscapeHtml(row.value),
          row.remark.empty() ? "" : "<br>" + EscapeHtml(row.remark),
          row.moments.empty() ? "" : page.FrameLink(row.moments));
    page.out += "</table>\n";
    page.Element("p", "", panel.sum);
  }
  page.Element("p", "small", page.Text("scores.note"));
  page.CloseSection();
}

void WriteMethod(HtmlPage& page) {
  page.OpenSection("method");
  page.out += "<dl class=\"method\">\n";
  for (std::size_t i = 0; i < page.model.scales.size(); ++i)
    WriteLine(page, fmt::format("{} {}", page.Text("method.scale"), i + 1), page.model.scales[i].description,
              FrameText(page.model, page.model.scales[i].frame));
  for (std::size_t i = 0; i < page.model.recordings.size(); ++i) {
    const ReportRecording& recording = page.model.recordings[i];
    const std::string name = fmt::format("{} {}", page.Text("method.recordings"), i + 1);
    WriteLine(page, name, recording.description, recording.fingerprint);
  }
  for (const auto& [name, how] : page.model.method) WriteLine(page, page.model.words.LabelOf(name), how, {});
  page.out += "</dl>\n";
  page.CloseSection();
}

void WriteCautions(HtmlPage& page) {
  page.OpenSection("cautions");
  for (const std::string& caution : page.model.cautions) page.Element("p", "", caution);
  page.CloseSection();
}

}  // namespace afterscope

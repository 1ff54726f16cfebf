// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/sections/facts.hpp"
#include "annotate/report/sections/html_sections.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

void WriteSaid(HtmlPage& page, const std::string& key, const std::vector<std::string>& words,
               int blank_lines) {
  page.Element("dt", "", page.Text(key));
  page.out += "<dd>\n";
  bool any = false;
  for (const std::string& said : words) {
    if (said.empty()) continue;
    page.Element("p", "voice", said);
    any = true;
  }
  for (int i = 0; !any && i < blank_lines; ++i) page.out += "<p class=\"blank\">&nbsp;</p>\n";
  page.out += "</dd>\n";
}

}  // namespace

void WriteHeading(HtmlPage& page) {
  const ReportHeading& heading = page.model.heading;
  page.out += "<header>\n";
  page.Element("p", "overline", page.Text("title"));
  page.Element("h1", "", heading.case_code.empty() ? page.Text("case") : heading.case_code);
  page.Element("p", "", SubtitleOf(page.model));
  page.out += "<dl class=\"facts\">\n";
  for (const Fact& fact : FactsOf(page.model)) {
    page.out += "<div>";
    page.Element("dt", "", fact.label);
    page.Element("dd", "", fact.value);
    page.out += "</div>\n";
  }
  page.out += "</dl>\n</header>\n";
}

void WriteWords(HtmlPage& page) {
  const Assessment& said = page.model.assessment;
  page.out += "<dl class=\"words\">\n";
  WriteSaid(page, "own_view", {said.own_view}, 2);
  if (page.model.earlier_goal) WriteSaid(page, "earlier_goal", {EarlierGoalOf(page.model)}, 0);
  WriteSaid(page, "strengths", said.strengths, 2);
  WriteSaid(page, "change", {said.change}, 1);
  std::string drill = said.drill;
  if (!drill.empty() && !said.drill_date.empty())
    drill += " (" + page.Text("drill.date") + " " + said.drill_date + ")";
  WriteSaid(page, "drill", {drill}, 1);
  if (!page.model.answers.empty()) WriteSaid(page, "answers", AnswersOf(page.model), 0);
  page.out += "</dl>\n";
}

void WriteKeyFindings(HtmlPage& page) {
  page.OpenSection("findings");
  if (page.model.key_findings.empty()) page.Element("p", "", page.Text("findings.none"));
  page.Findings(page.model.key_findings, false);
  page.CloseSection();
}

void WriteNotReviewed(HtmlPage& page) {
  page.OpenSection("not_reviewed");
  if (page.model.not_reviewed.empty()) page.Element("p", "", page.Text("not_reviewed.none"));
  for (const std::string& line : page.model.not_reviewed) page.Element("p", "", line);
  page.Element("p", "small", page.Text("not_reviewed.note"));
  page.CloseSection();
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/html_report.hpp"

#include "annotate/report/html/html_style.hpp"
#include "annotate/report/sections/html_sections.hpp"

#include <fmt/format.h>

namespace afterscope {

std::string MakeHtml(const ReportModel& model) {
  HtmlPage page{model, {}, {}};
  page.out =
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src "
      "'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
      "<meta name=\"referrer\" content=\"no-referrer\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";
  page.out += fmt::format("<title>{} {}</title>\n<style>{}</style>\n</head>\n<body>\n",
                          EscapeHtml(page.Text("title")), EscapeHtml(model.heading.case_code), kHtmlStyle);
  WriteHeading(page);
  WriteWords(page);
  WriteStrip(page);
  WriteKeyFindings(page);
  WriteNotReviewed(page);
  WriteSteps(page);
  WriteRhexis(page);
  WriteTrails(page);
  WriteEyeOverTime(page);
  WriteOtherFindings(page);
  WriteMoments(page);
  WriteSettings(page);
  WriteChecks(page);
  WriteScores(page);
  WriteMethod(page);
  WriteCautions(page);
  page.out += "<footer>\n";
  page.Element("p", "small", page.Text("scope"));
  page.out += "</footer>\n</body>\n</html>\n";
  return std::move(page.out);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"
#include "annotate/report/sections/earlier_text.hpp"
#include "annotate/report/sections/html_sections.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <utility>

namespace afterscope {

namespace {

// Shortest to longest as a bar, the median as a line, this case as a dot; from zero on.
std::string EarlierDrawing(const EarlierTimes& earlier, double own) {
  constexpr double kWidth = 150;
  const double most = std::max(earlier.high_seconds, own) * 1.04;
  if (!(most > 0)) return {};
  const auto at = [&](double seconds) { return seconds / most * kWidth; };
  return fmt::format(
      "<svg class=\"range\" viewBox=\"0 0 150 12\" aria-hidden=\"true\"><path class=\"thin\" d=\"M0 6H150\"/>"
      "<rect x=\"{:.2f}\" y=\"2\" width=\"{:.2f}\" height=\"8\" fill=\"#90cdf1\"/>"
      "<path d=\"M{:.2f} 0V12\" stroke=\"#1d2125\" stroke-width=\"1.5\"/><circle cx=\"{:.2f}\" cy=\"6\" "
      "r=\"3.2\"/></svg>",
      at(earlier.low_seconds), std::max(1.0, at(earlier.high_seconds) - at(earlier.low_seconds)),
      at(earlier.median_seconds), at(own));
}

constexpr const char* kColumns[] = {"steps.name",   "steps.visits", "steps.own",    "steps.longest",
                                    "steps.others", "steps.first",  "steps.earlier"};

std::string LengthOrDash(double seconds) { return seconds > 0 ? FormatLength(seconds) : "–"; }

void WriteRow(HtmlPage& page, const StepRow& row) {
  std::string earlier;
  if (row.earlier)
    earlier = EarlierDrawing(*row.earlier, row.own_seconds) + "<br><span class=\"frame\">" +
              EscapeHtml(EarlierText(page.model, *row.earlier)) + "</span>";
  page.out += fmt::format("<tr><th scope=\"row\" dir=\"auto\">{}</th>", EscapeHtml(row.name));
  const std::pair<const char*, std::string> cells[] = {
      {"n", fmt::format("{}", row.own_visits)},
      {"n value", LengthOrDash(row.own_seconds)},
      {"n", row.own_seconds > 0 ? FormatLength(row.longest_seconds) : "–"},
      {"n", LengthOrDash(row.others_seconds)},
      {"", page.FrameLink(row.starts, 1)},
      {"", earlier}};
  // Cells name their column: a narrow page shows no heading over them.
  for (std::size_t i = 0; i < std::size(cells); ++i)
    page.out += fmt::format("<td class=\"{}\" data-name=\"{}\">{}</td>", cells[i].first,
                            EscapeHtml(page.Text(kColumns[i + 1])), cells[i].second);
  page.out += "</tr>\n";
}

}  // namespace

void WriteSteps(HtmlPage& page) {
  if (page.model.steps.empty()) return;
  page.OpenSection("steps");
  page.out += "<table class=\"steps\"><thead><tr>";
  for (const char* key : kColumns) page.out += "<th>" + EscapeHtml(page.Text(key)) + "</th>";
  page.out += "</tr></thead>\n";
  for (const StepRow& row : page.model.steps) WriteRow(page, row);
  page.out += "</table>\n";
  if (page.model.earlier_cases > 0) page.Element("p", "small", page.Text("steps.legend"));
  for (const std::string& note : page.model.step_notes) page.Element("p", "small", note);
  page.CloseSection();
}

}  // namespace afterscope

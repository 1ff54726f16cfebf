// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/chart/chart_paint.hpp"
#include "annotate/report/chart/eye_chart.hpp"
#include "annotate/report/sections/html_sections.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

namespace afterscope {

namespace {

constexpr double kEyeChartHeight = 98;
constexpr double kPageChartWidth = 520;  // in the units of an SVG, which grows with the page

Chart ChartOf(const ReportModel& model, const EyeChartPanel& shown, double width) {
  const EyeOverTimePanel& panel = *model.eye_over_time;
  return LayEyeChart(shown.course, model.strip, {shown.title, model.words.Text("eye_course.limit")},
                     panel.start_seconds, panel.end_seconds, width, kEyeChartHeight);
}

}  // namespace

void SetEyeOverTime(PdfBook& book) {
  if (!book.model.eye_over_time) return;
  SectionHeading(book, "eye_course", kEyeChartHeight + 40);
  for (const EyeChartPanel& shown : book.model.eye_over_time->charts) {
    Subheading(book, shown.title, kEyeChartHeight + 20);
    Chart chart = ChartOf(book.model, shown, book.pages.width());
    Figure(book, kEyeChartHeight,
           [chart = std::move(chart), &typesetter = book.pages.typesetter()](
               cairo_t* cairo, double x, double y) { PaintChart(cairo, typesetter, chart, x, y); });
    book.pages.Take(3);
    book.pages.Paragraph(shown.limits, styles::kTiny);
    book.pages.Take(4);
  }
  for (const std::string& note : book.model.eye_over_time->notes) book.pages.Paragraph(note, styles::kSmall);
}

void WriteEyeOverTime(HtmlPage& page) {
  if (!page.model.eye_over_time) return;
  page.OpenSection("eye_course");
  for (const EyeChartPanel& shown : page.model.eye_over_time->charts) {
    page.Element("h3", "", shown.title);
    page.out +=
        "<div class=\"scroll\">\n" + SvgFromChart(ChartOf(page.model, shown, kPageChartWidth)) + "</div>\n";
    page.Element("p", "small", shown.limits);
  }
  for (const std::string& note : page.model.eye_over_time->notes) page.Element("p", "small", note);
  page.CloseSection();
}

}  // namespace afterscope

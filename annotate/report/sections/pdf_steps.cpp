// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"
#include "annotate/report/frame_text.hpp"
#include "annotate/report/sections/earlier_text.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

namespace {

// Right edges of the columns of figures, and where the name and the earlier cases stand.
struct Columns {
  double name_width, visits, own, longest, others, first, earlier, earlier_width;
};

Columns ColumnsFor(double width) {
  const double left_over = width - 495;  // the layout below is made for A4
  return {112 + left_over / 2, 140 + left_over / 2, 192 + left_over / 2, 236 + left_over / 2,
          284 + left_over / 2, 292 + left_over / 2, 370 + left_over / 2, 125 + left_over / 2};
}

constexpr TextStyle kFigure{.size_pt = 9, .align = Align::kEnd};

Cell RightCell(PdfBook& book, double right_edge, const std::string& text, TextStyle style) {
  style.align = Align::kStart;
  const TextBlock block = book.Set(text, style);
  return {right_edge - block.width(), block, {}};
}

constexpr double kPlotHeight = 7;

// Shortest to longest of the earlier cases as a bar, their median as a line, this case as a dot; from zero
// on.
void DrawEarlier(cairo_t* cairo, double x, double y, double width, const EarlierTimes& earlier, double own) {
  const double most = std::max(earlier.high_seconds, own) * 1.04;
  if (!(most > 0)) return;
  const auto at = [&](double seconds) { return x + seconds / most * width; };
  const double middle = y + kPlotHeight / 2;
  SetColor(cairo, kHairline);
  cairo_set_line_width(cairo, 0.5);
  cairo_move_to(cairo, x, middle);
  cairo_line_to(cairo, x + width, middle);
  cairo_stroke(cairo);
  SetColor(cairo, Mixed(okabe_ito::kSkyBlue, kWhite, 0.35));
  cairo_rectangle(cairo, at(earlier.low_seconds), y + 1,
                  std::max(1.0, at(earlier.high_seconds) - at(earlier.low_seconds)), kPlotHeight - 2);
  cairo_fill(cairo);
  SetColor(cairo, kInk);
  cairo_set_line_width(cairo, 1);
  cairo_move_to(cairo, at(earlier.median_seconds), y);
  cairo_line_to(cairo, at(earlier.median_seconds), y + kPlotHeight);
  cairo_stroke(cairo);
  cairo_arc(cairo, at(own), middle, 2.3, 0, 6.2832);
  cairo_fill(cairo);
}

void HeaderRow(PdfBook& book, const Columns& columns) {
  book.pages.Row(
      {{0, book.Set(book.Text("steps.name"), styles::kTiny), {}},
       RightCell(book, columns.visits, book.Text("steps.visits"), styles::kTiny),
       RightCell(book, columns.own, book.Text("steps.own"), styles::kTiny),
       RightCell(book, columns.longest, book.Text("steps.longest"), styles::kTiny),
       RightCell(book, columns.others, book.Text("steps.others"), styles::kTiny),
       {columns.first, book.Set(book.Text("steps.first"), styles::kTiny), {}},
       {columns.earlier, book.Set(book.Text("steps.earlier"), styles::kTiny, columns.earlier_width), {}}});
  book.pages.Take(2);
  book.pages.Rule();
  book.pages.Take(3);
}

void Row(PdfBook& book, const StepRow& row, const Columns& columns) {
  const TextBlock name = book.Set(row.name, styles::kBody, columns.name_width);
  const std::string place = row.starts.empty() ? std::string() : PlaceOf(row.starts.front().ref);
  const TextBlock first =
      book.Set(FramesText(book.model, row.starts, 1), styles::kTiny, columns.earlier - columns.first - 6);
  TextBlock earlier;
  if (row.earlier)
    earlier = book.Set(EarlierText(book.model, *row.earlier), styles::kTiny, columns.earlier_width);
  const double plot = row.earlier ? kPlotHeight + 2 : 0;
  book.pages.Need(std::max({name.height(), first.height(), plot + earlier.height()}) + 6);
  const double top = book.pages.y();
  std::vector<Cell> cells{
      {0, name, {}},
      RightCell(book, columns.visits, fmt::format("{}", row.own_visits), kFigure),
      RightCell(book, columns.own, row.own_seconds > 0 ? FormatLength(row.own_seconds) : "–",
                styles::kStrong),
      RightCell(book, columns.longest, row.own_seconds > 0 ? FormatLength(row.longest_seconds) : "–",
                kFigure),
      RightCell(book, columns.others, row.others_seconds > 0 ? FormatLength(row.others_seconds) : "–",
                kFigure),
      {columns.first, first, place}};
  book.pages.Row(cells);
  double bottom = book.pages.y();
  if (row.earlier) {
    const double x = book.pages.left() + columns.earlier;
    book.pages.Put([=, times = *row.earlier, own = row.own_seconds](cairo_t* cairo) {
      DrawEarlier(cairo, x, top + 3, columns.earlier_width, times, own);
      earlier.Draw(cairo, x, top + 3 + plot);
    });
    bottom = std::max(bottom, top + 3 + plot + earlier.height());
  }
  book.pages.Take(bottom - book.pages.y() + 3);
}

}  // namespace

void SetSteps(PdfBook& book) {
  if (book.model.steps.empty()) return;
  SectionHeading(book, "steps", 80);
  const Columns columns = ColumnsFor(book.pages.width());
  HeaderRow(book, columns);
  book.pages.RunningHead([&] { HeaderRow(book, columns); });
  for (const StepRow& row : book.model.steps) Row(book, row, columns);
  book.pages.RunningHead({});
  book.pages.Take(3);
  if (book.model.earlier_cases > 0) book.pages.Paragraph(book.Text("steps.legend"), styles::kTiny);
  for (const std::string& note : book.model.step_notes) book.pages.Paragraph(note, styles::kSmall);
}

}  // namespace afterscope

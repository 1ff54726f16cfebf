// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/furniture.hpp"

#include "annotate/report/finding_rows.hpp"

#include <cairo.h>

#include <algorithm>

namespace afterscope {

void SetColor(cairo_t* cairo, Rgb color) {
  cairo_set_source_rgb(cairo, color.r / 255.0, color.g / 255.0, color.b / 255.0);
}

void SectionHeading(PdfBook& book, const std::string& key, double with) {
  const TextBlock title = book.Set(book.Text(key), styles::kHeading, book.pages.width());
  book.pages.Skip(20);
  book.pages.Need(title.height() + 12 + with);
  const std::string place = "section-" + key;
  book.pages.Destination(place);
  book.pages.Bookmark(book.Text(key), place);
  book.pages.Rule(0.75);
  book.pages.Take(7);
  book.pages.Row({{0, title, {}}});
  book.pages.Take(5);
}

void Subheading(PdfBook& book, const std::string& text, double with) {
  const TextBlock title = book.Set(text, styles::kSubheading, book.pages.width());
  book.pages.Skip(8);
  book.pages.Need(title.height() + 3 + with);
  book.pages.Row({{0, title, {}}});
  book.pages.Take(3);
}

namespace {

// Columns of the findings: where they start and how wide they are, as shares of the text width.
struct Columns {
  double label, value, limits, frames, frames_width;
};

Columns ColumnsFor(double width) { return {0, 0.43 * width, 0.58 * width, 0.74 * width, 0.26 * width}; }

void FindingRow(PdfBook& book, const FindingRows::Row& row) {
  const Columns columns = ColumnsFor(book.pages.width());
  const std::vector<ReportFrame>& frames = row.finding->frames;
  const std::string place = frames.empty() ? std::string() : PlaceOf(frames.front().ref);
  book.pages.Row(
      {{columns.label, book.Set(row.label, styles::kBody, columns.value - 10), {}},
       {columns.value, book.Set(row.text.value, styles::kStrong, columns.limits - columns.value - 6), {}},
       {columns.limits, book.Set(row.text.limits, styles::kSmall, columns.frames - columns.limits - 6), {}},
       {columns.frames, book.Set(row.text.frames, styles::kTiny, columns.frames_width), place}});
  book.pages.Take(1.5);
}

}  // namespace

void FindingTable(PdfBook& book, const std::vector<ReportFinding>& findings, bool with_notes) {
  const FindingRows table = RowsOf(book.model, findings, with_notes);
  const Columns columns = ColumnsFor(book.pages.width());
  if (!table.rows.empty())
    book.pages.Row({{columns.limits, book.Set(book.Text("findings.limits"), styles::kTiny), {}},
                    {columns.frames, book.Set(book.Text("findings.from"), styles::kTiny), {}}});
  for (const FindingRows::Row& row : table.rows) FindingRow(book, row);
  book.pages.Take(1);
  for (const std::string& line : table.missing) book.pages.Paragraph(line, styles::kSmall);
  for (const std::string& note : table.notes) book.pages.Paragraph(note, styles::kTiny);
  book.pages.Take(3);
}

void Figure(PdfBook& book, double height, const std::function<void(cairo_t*, double, double)>& draw) {
  const double y = book.pages.Take(height);
  book.pages.Put([draw, x = book.pages.left(), y](cairo_t* cairo) { draw(cairo, x, y); });
}

}  // namespace afterscope

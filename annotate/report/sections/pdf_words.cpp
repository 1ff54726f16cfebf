// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/sections/facts.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

#include <cairo.h>

namespace afterscope {

namespace {

constexpr double kWriteLine = 17;  // between dotted lines that are written on by hand

// A dotted line over [x, x + width) of the text width.
void DottedLine(PdfBook& book, double x, double width) {
  const double y = book.pages.Take(kWriteLine) + kWriteLine - 3;
  book.pages.Put([x = book.pages.left() + x, y, width](cairo_t* cairo) {
    const double dots[] = {0.01, 2.6};
    cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
    cairo_set_dash(cairo, dots, 2, 0);
    cairo_set_line_width(cairo, 0.8);
    SetColor(cairo, kSoftInk);
    cairo_move_to(cairo, x, y);
    cairo_line_to(cairo, x + width, y);
    cairo_stroke(cairo);
  });
}

// A label, and under it the words, or lines to write on.
void SetSaid(PdfBook& book, const std::string& label, const std::vector<std::string>& words,
             std::size_t most_lines, bool numbered) {
  constexpr double kIndent = 104;
  book.pages.Need(20);
  const double width = book.pages.width() - kIndent;
  std::vector<std::string> said;
  for (const std::string& word : words)
    if (!word.empty()) said.push_back(word);
  const TextBlock name = book.Set(label, styles::kSubheading, kIndent - 10);
  if (said.empty()) {
    const double top = book.pages.y();
    book.pages.Put([name, x = book.pages.left(), top](cairo_t* cairo) { name.Draw(cairo, x, top + 4); });
    for (std::size_t i = 0; i < most_lines; ++i) DottedLine(book, kIndent, width);
  }
  for (std::size_t i = 0; i < said.size(); ++i) {
    const double indent = numbered && said.size() > 1 ? 14 : 0;
    std::vector<Cell> row{{kIndent + indent, book.Set(said[i], styles::kVoice, width - indent), {}}};
    if (i == 0) row.push_back({0, name, {}});
    if (indent > 0) row.push_back({kIndent, book.Set(std::to_string(i + 1), styles::kLabel), {}});
    book.pages.Row(row);
    book.pages.Take(1.5);
  }
  book.pages.Take(4);
}

}  // namespace

void SetWords(PdfBook& book) {
  const Assessment& said = book.model.assessment;
  book.pages.Take(3);
  book.pages.Rule();
  book.pages.Take(8);
  SetSaid(book, book.Text("own_view"), {said.own_view}, 2, false);
  if (book.model.earlier_goal)
    SetSaid(book, book.Text("earlier_goal"), {EarlierGoalOf(book.model)}, 0, false);
  SetSaid(book, book.Text("strengths"), said.strengths, 2, true);
  SetSaid(book, book.Text("change"), {said.change}, 1, false);
  std::string drill = said.drill;
  if (!drill.empty() && !said.drill_date.empty())
    drill += " (" + book.Text("drill.date") + " " + said.drill_date + ")";
  SetSaid(book, book.Text("drill"), {drill}, 1, false);
  if (!book.model.answers.empty()) SetSaid(book, book.Text("answers"), AnswersOf(book.model), 0, false);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/sections/pdf_sections.hpp"

#include <cairo.h>

namespace afterscope {

namespace {

// A sign a state, each of another form: filled, crossed, dashed, empty.
void DrawSign(cairo_t* cairo, CheckState state, double x, double y) {
  constexpr double kSide = 6.5;
  const double dashes[] = {1.4, 1.4};
  SetColor(cairo, state == CheckState::kNotReviewed || state == CheckState::kNotVisible ? kSoftInk : kInk);
  cairo_set_line_width(cairo, 0.8);
  if (state == CheckState::kNotReviewed) cairo_set_dash(cairo, dashes, 2, 0);
  cairo_rectangle(cairo, x, y, kSide, kSide);
  if (state == CheckState::kSeenDone) {
    cairo_fill(cairo);
    return;
  }
  cairo_stroke(cairo);
  cairo_set_dash(cairo, nullptr, 0, 0);
  if (state == CheckState::kSeenNotDone) {
    cairo_move_to(cairo, x, y);
    cairo_line_to(cairo, x + kSide, y + kSide);
    cairo_move_to(cairo, x + kSide, y);
    cairo_line_to(cairo, x, y + kSide);
  } else if (state == CheckState::kNotVisible) {
    cairo_move_to(cairo, x, y + kSide / 2);
    cairo_line_to(cairo, x + kSide, y + kSide / 2);
  }
  cairo_stroke(cairo);
}

}  // namespace

void SetChecks(PdfBook& book) {
  if (book.model.checks.empty()) return;
  SectionHeading(book, "checks", 60);
  constexpr double kIndent = 14;
  const double state_at = 0.5 * book.pages.width();
  for (const CheckRow& check : book.model.checks) {
    const TextBlock name = book.Set(check.name, styles::kBody, state_at - kIndent - 10);
    book.pages.Need(name.height() + 2);
    const double top = book.pages.y();
    book.pages.Put([state = check.state, x = book.pages.left(), top](cairo_t* cairo) {
      DrawSign(cairo, state, x + 0.5, top + 3);
    });
    book.pages.Row(
        {{kIndent, name, {}},
         {state_at, book.Set(check.state_name, styles::kSmall, book.pages.width() - state_at), {}}});
    book.pages.Take(2);
  }
}

}  // namespace afterscope

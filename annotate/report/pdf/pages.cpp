// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/pages.hpp"

#include <cairo-pdf.h>
#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {

namespace {

// The lowest first base line, on which all cells of a row stand.
double BaselineOf(const std::vector<Cell>& cells) {
  double baseline = 0;
  for (const Cell& cell : cells) baseline = std::max(baseline, cell.text.baseline());
  return baseline;
}

double HeightOf(const std::vector<Cell>& cells, double baseline) {
  double height = 0;
  for (const Cell& cell : cells)
    if (cell.text.lines() > 0)
      height = std::max(height, baseline - cell.text.baseline() + cell.text.height());
  return height;
}

// The line after the last that fits into `room`, from `first` on.
std::size_t LinesThatFit(const TextBlock& text, std::size_t first, double room) {
  std::size_t last = first;
  while (last < text.lines() && text.LineTop(last + 1) - text.LineTop(first) <= room) ++last;
  return last;
}

std::string LinkTo(const std::string& destination) { return fmt::format("dest='{}'", destination); }

}  // namespace

Pages::Pages(const PageSetup& setup, Typesetter& typesetter)
    : setup_(setup), typesetter_(typesetter), pages_(1), y_(setup.top) {}

void Pages::NewPage() {
  pages_.emplace_back();
  y_ = setup_.top;
  if (!running_head_) return;
  const std::function<void()> head = std::exchange(running_head_, nullptr);  // not within itself
  head();
  running_head_ = head;
}

void Pages::Need(double height) {
  if (height > Room() && !AtTop()) NewPage();
}

void Pages::Skip(double height) {
  if (!AtTop()) y_ = std::min(y_ + height, setup_.TextBottom());
}

void Pages::Put(Draw draw) { pages_.back().push_back(std::move(draw)); }

double Pages::Take(double height) {
  Need(height);
  const double top = y_;
  y_ += height;
  return top;
}

void Pages::Paragraph(const std::string& text, const TextStyle& style, double x, double text_width) {
  if (text.empty()) return;
  BrokenRow({{x, typesetter_.Set(text, style, text_width > 0 ? text_width : width() - x), {}}});
}

void Pages::DrawCellLines(const Cell& cell, double y, std::size_t first, std::size_t last) {
  const double x = left() + cell.x;
  PutLinked(cell.destination,
            [text = cell.text, x, y, first, last](cairo_t* cairo) { text.Draw(cairo, x, y, first, last); });
}

void Pages::PutLinked(const std::string& destination, Draw draw) {
  if (destination.empty()) return Put(std::move(draw));
  Put([known = destinations_, destination, draw = std::move(draw)](cairo_t* cairo) {
    const bool linked = known->contains(destination);
    if (linked) cairo_tag_begin(cairo, CAIRO_TAG_LINK, LinkTo(destination).c_str());
    draw(cairo);
    if (linked) cairo_tag_end(cairo, CAIRO_TAG_LINK);
  });
}

void Pages::Row(const std::vector<Cell>& cells) {
  const double baseline = BaselineOf(cells);
  const double height = HeightOf(cells, baseline);
  const double page = setup_.TextBottom() - setup_.top;
  if (height > page / 2 && height > Room()) return BrokenRow(cells);
  const double top = Take(height);
  for (const Cell& cell : cells)
    DrawCellLines(cell, top + baseline - cell.text.baseline(), 0, cell.text.lines());
}

void Pages::BrokenRow(const std::vector<Cell>& cells) {
  std::vector<std::size_t> next(cells.size(), 0);
  bool fresh = AtTop();
  for (bool more = true; more;) {
    more = false;
    double used = 0;
    const double room = Room();
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const TextBlock& text = cells[i].text;
      if (next[i] >= text.lines()) continue;
      std::size_t last = LinesThatFit(text, next[i], room);
      if (last == next[i] && fresh) ++last;  // a line higher than a page: there must be progress
      if (last > next[i]) DrawCellLines(cells[i], y_, next[i], last);
      used = std::max(used, text.LineTop(last) - text.LineTop(next[i]));
      next[i] = last;
      more = more || last < text.lines();
    }
    y_ += used;
    if (more) NewPage();
    fresh = true;
  }
}

void Pages::Rule(double width_pt) {
  const double y = y_;
  Put([x = left(), w = width(), y, width_pt](cairo_t* cairo) {
    cairo_set_source_rgb(cairo, kHairline.r / 255.0, kHairline.g / 255.0, kHairline.b / 255.0);
    cairo_set_line_width(cairo, width_pt);
    cairo_move_to(cairo, x, y);
    cairo_line_to(cairo, x + w, y);
    cairo_stroke(cairo);
  });
}

void Pages::Destination(const std::string& name) { DestinationAt(name, y_); }

void Pages::DestinationAt(const std::string& name, double y) {
  if (!destinations_->insert(name).second) return;
  Put([name, y = std::max(0.0, y - 8), x = left()](cairo_t* cairo) {
    cairo_tag_begin(cairo, CAIRO_TAG_DEST, fmt::format("name='{}' x={:.2f} y={:.2f}", name, x, y).c_str());
    cairo_tag_end(cairo, CAIRO_TAG_DEST);
  });
}

void Pages::Bookmark(const std::string& title, const std::string& destination) {
  bookmarks_.push_back({title, destination});
}

void Pages::DrawPage(cairo_t* cairo, int page, const std::function<void(cairo_t*, int, int)>& footer) const {
  for (const Draw& draw : pages_[static_cast<std::size_t>(page - 1)]) {
    cairo_save(cairo);
    draw(cairo);
    cairo_restore(cairo);
  }
  cairo_save(cairo);
  footer(cairo, page, static_cast<int>(pages_.size()));
  cairo_restore(cairo);
}

void Pages::Emit(cairo_t* cairo, cairo_surface_t* surface,
                 const std::function<void(cairo_t*, int, int)>& footer) const {
  for (int page = 1; page <= static_cast<int>(pages_.size()); ++page) {
    DrawPage(cairo, page, footer);
    cairo_show_page(cairo);
  }
  for (const BookmarkEntry& entry : bookmarks_) {
    if (!destinations_->contains(entry.destination)) continue;
    cairo_pdf_surface_add_outline(surface, CAIRO_PDF_OUTLINE_ROOT, entry.title.c_str(),
                                  LinkTo(entry.destination).c_str(), CAIRO_PDF_OUTLINE_FLAG_OPEN);
  }
}

}  // namespace afterscope

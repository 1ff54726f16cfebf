// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/page_setup.hpp"
#include "annotate/report/pdf/typesetter.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <functional>
#include <memory>
#include <set>
#include <string>
#include <vector>

typedef struct _cairo_surface cairo_surface_t;

namespace afterscope {

// A cell of a row: text at a place of the text width.
struct Cell {
  double x = 0;  // from the left margin
  TextBlock text;
  std::string destination;  // a place of this document that the text leads to; empty: none
};

// Pages being filled from top to bottom. Everything is measured before it is placed: what does not fit goes
// to the next page, and a row higher than a page is continued line by line, so nothing overlaps and nothing
// is cut off. Drawing is kept and done at the end, when the number of pages is known.
class Pages {
 public:
  using Draw = std::function<void(cairo_t*)>;

  Pages(const PageSetup& setup, Typesetter& typesetter);

  const PageSetup& setup() const { return setup_; }
  Typesetter& typesetter() { return typesetter_; }
  double left() const { return setup_.side; }
  double width() const { return setup_.TextWidth(); }
  double y() const { return y_; }
  std::size_t page() const { return pages_.size(); }  // the one being filled, from 1 on
  double Room() const { return setup_.TextBottom() - y_; }
  bool AtTop() const { return y_ <= setup_.top; }

  void NewPage();
  // What is set at the top of every page that begins from now on, such as a table's heads; empty: nothing.
  void RunningHead(std::function<void()> head) { running_head_ = std::move(head); }
  // Starts a new page unless `height` fits on this one.
  void Need(double height);
  void Skip(double height);  // nothing at the top of a page
  // Keeps a drawing of this page, at absolute positions.
  void Put(Draw draw);

  // Takes `height` in one piece and gives the top of it.
  double Take(double height);
  // A paragraph over the full width, or from x on; broken over pages by lines.
  void Paragraph(const std::string& text, const TextStyle& style, double x = 0, double text_width = 0);
  // Cells beside each other on one first base line; kept in one piece where a page can hold it.
  void Row(const std::vector<Cell>& cells);
  void Rule(double width_pt = 0.5);
  // A name for this place (or for a height of this page), for links and bookmarks; the first place of a name
  // counts.
  void Destination(const std::string& name);
  void DestinationAt(const std::string& name, double y);
  // Draws inside a link to a place; without the link if the document has no such place in the end.
  void PutLinked(const std::string& destination, Draw draw);
  void Bookmark(const std::string& title, const std::string& destination);

  // Draws a page, from 1 on, with `footer` under it.
  void DrawPage(cairo_t* cairo, int page, const std::function<void(cairo_t*, int, int)>& footer) const;
  // Draws everything: calls `footer` for each page with its number and their count.
  void Emit(cairo_t* cairo, cairo_surface_t* surface,
            const std::function<void(cairo_t*, int, int)>& footer) const;

 private:
  struct BookmarkEntry {
    std::string title;
    std::string destination;
  };
  void DrawCellLines(const Cell& cell, double y, std::size_t first, std::size_t last);
  void BrokenRow(const std::vector<Cell>& cells);

  PageSetup setup_;
  Typesetter& typesetter_;
  std::vector<std::vector<Draw>> pages_;
  std::vector<BookmarkEntry> bookmarks_;
  std::shared_ptr<std::set<std::string>> destinations_ = std::make_shared<std::set<std::string>>();
  std::function<void()> running_head_;
  double y_ = 0;
};

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/frame_text.hpp"
#include "annotate/report/pdf/picture_block.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

#include <algorithm>

namespace afterscope {

namespace {

constexpr std::size_t kMapsInRow = 3;
constexpr double kBetweenMaps = 10;

// Small ones beside each other, so that steps can be compared.
void SetMaps(PdfBook& book, const TrailPanel& panel) {
  if (panel.maps.empty()) return;
  const double width = (book.pages.width() - (kMapsInRow - 1) * kBetweenMaps) / kMapsInRow;
  for (std::size_t first = 0; first < panel.maps.size(); first += kMapsInRow) {
    std::vector<PictureBlock> row;
    double height = 0;
    for (std::size_t i = first; i < std::min(first + kMapsInRow, panel.maps.size()); ++i) {
      row.push_back(MakePictureBlock(book, book.model.pictures[panel.maps[i]], width, width));
      height = std::max(height, row.back().height);
    }
    if (first == 0) Subheading(book, book.Text("trail.maps"), height);
    for (std::size_t i = 0; i < row.size(); ++i)
      book.pages.Destination(PlaceOf(book.model.pictures[panel.maps[first + i]].frame.ref));
    Figure(book, height, [row, width](cairo_t* cairo, double x, double y) {
      for (const PictureBlock& map : row) {
        map.draw(cairo, x, y);
        x += width + kBetweenMaps;
      }
    });
    book.pages.Take(6);
  }
  book.pages.Paragraph(book.Text("trail.maps.method"), styles::kTiny);
  book.pages.Take(8);
}

}  // namespace

void SetTrails(PdfBook& book) {
  if (book.model.trails.empty()) return;
  SectionHeading(book, "trail", 290);
  for (const TrailPanel& panel : book.model.trails) {
    PictureBlock picture;
    if (panel.picture)
      picture = MakePictureBlock(book, book.model.pictures[*panel.picture], 0.62 * book.pages.width(), 220);
    Subheading(book, panel.title, picture.height + 30);
    if (panel.picture) {
      book.pages.Destination(PlaceOf(book.model.pictures[*panel.picture].frame.ref));
      Figure(book, picture.height, picture.draw);
      book.pages.Take(6);
    }
    SetMaps(book, panel);
    FindingTable(book, panel.findings, true);
  }
}

}  // namespace afterscope

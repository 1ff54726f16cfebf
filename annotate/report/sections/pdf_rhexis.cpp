// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/frame_text.hpp"
#include "annotate/report/pdf/cover_map.hpp"
#include "annotate/report/pdf/picture_block.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

#include <algorithm>

namespace afterscope {

namespace {

constexpr double kPictureShare = 0.56;
constexpr double kBesidePicture = 16;

// What stands right of the picture, or alone: the overlap map, or why there is none.
struct Beside {
  double height = 0;
  std::function<void(cairo_t*, double x, double y)> draw;
};

Beside CoverBeside(PdfBook& book, const RhexisPanel& panel, double width) {
  const TextBlock title = book.Set(book.Text("rhexis.cover"), styles::kSubheading, width);
  if (panel.cover.size() < 3) {
    const TextBlock note = book.Set(panel.cover_note, styles::kSmall, width);
    return {title.height() + 4 + note.height(), [=](cairo_t* cairo, double x, double y) {
              title.Draw(cairo, x, y);
              note.Draw(cairo, x, y + title.height() + 4);
            }};
  }
  const CoverMap map = MakeCoverMap(book, panel, width);
  return {title.height() + 6 + map.height, [=](cairo_t* cairo, double x, double y) {
            title.Draw(cairo, x, y);
            map.draw(cairo, x, y + title.height() + 6);
          }};
}

void SetPanel(PdfBook& book, const RhexisPanel& panel) {
  Pages& pages = book.pages;
  const double picture_width = kPictureShare * pages.width();
  const double right = panel.picture ? picture_width + kBesidePicture : 0;
  const Beside beside = CoverBeside(book, panel, pages.width() - right);
  PictureBlock picture;
  if (panel.picture)
    picture = MakePictureBlock(book, book.model.pictures[*panel.picture], picture_width, picture_width);
  const double height = std::max(picture.height, beside.height);
  Subheading(book, panel.title, height);
  if (panel.picture) pages.Destination(PlaceOf(book.model.pictures[*panel.picture].frame.ref));
  Figure(book, height, [=](cairo_t* cairo, double x, double y) {
    if (picture.draw) picture.draw(cairo, x, y);
    beside.draw(cairo, x + right, y);
  });
  pages.Take(8);
  FindingTable(book, panel.findings, true);
}

}  // namespace

void SetRhexis(PdfBook& book) {
  if (book.model.rhexis.empty()) return;
  SectionHeading(book, "rhexis", book.model.rhexis.front().picture ? 330 : 120);
  for (const RhexisPanel& panel : book.model.rhexis) SetPanel(book, panel);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/frame_text.hpp"
#include "annotate/report/pdf/picture_block.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

namespace afterscope {

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
    FindingTable(book, panel.findings, true);
  }
}

}  // namespace afterscope

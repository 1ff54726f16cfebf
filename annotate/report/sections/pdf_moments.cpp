// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"
#include "annotate/report/frame_text.hpp"
#include "annotate/report/pdf/picture_block.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

#include <algorithm>

namespace afterscope {

namespace {

constexpr double kPictureWidth = 138;
constexpr double kBetween = 14;

std::string HeadText(const MomentRow& row) {
  std::string text = FormatClock(row.at.case_seconds) + "   " + row.kind_name;
  if (!row.title.empty()) text += ": " + row.title;
  return text;
}

// The words of a moment from `x` on, each paragraph broken over pages where it must be.
void SetMomentWords(PdfBook& book, const MomentRow& row, double x) {
  book.pages.Paragraph(HeadText(row), styles::kStrong, x);
  if (!row.step_name.empty()) book.pages.Paragraph(row.step_name, styles::kSmall, x);
  if (!row.text.empty()) {
    book.pages.Take(2);
    book.pages.Paragraph(row.text, styles::kVoiceSmall, x);
  }
  if (!row.fields.empty()) {
    book.pages.Take(2);
    book.pages.Paragraph(FieldsText(row.fields), styles::kSmall, x);
  }
  if (!row.picture) book.pages.Paragraph(FrameText(book.model, row.at), styles::kTiny, x);
}

void SetMoment(PdfBook& book, const MomentRow& row) {
  Pages& pages = book.pages;
  PictureBlock picture;
  double x = 0;
  if (row.picture) {
    const ReportPicture& shown = book.model.pictures[*row.picture];
    picture = MakePictureBlock(book, shown, kPictureWidth, 110);
    x = kPictureWidth + kBetween;
  }
  pages.Need(std::max(picture.height, 36.0));
  pages.Destination(PlaceOf(row.at.ref));
  const double top = pages.y();
  const std::size_t page = pages.page();
  if (picture.draw)
    pages.Put([picture, left = pages.left(), top](cairo_t* cairo) { picture.draw(cairo, left, top); });
  SetMomentWords(book, row, x);
  if (pages.page() == page) pages.Take(std::max(0.0, top + picture.height - pages.y()));
  pages.Take(10);
}

}  // namespace

void SetMoments(PdfBook& book) {
  if (book.model.moments.empty()) return;
  SectionHeading(book, "moments", 110);
  for (const MomentRow& row : book.model.moments) SetMoment(book, row);
}

void SetSettings(PdfBook& book) {
  if (book.model.settings.empty()) return;
  SectionHeading(book, "settings", 50);
  book.pages.Paragraph(book.Text("settings.note"), styles::kSmall);
  book.pages.Take(3);
  for (const MomentRow& row : book.model.settings) {
    constexpr double kFrames = 96, kStep = 210;
    std::string set = book.Text("settings.set") + ": ";
    if (!row.title.empty()) set += row.title + (row.fields.empty() ? "" : "  ·  ");
    set += FieldsText(row.fields);
    if (!row.text.empty()) set += "\n" + row.text;
    book.pages.Row(
        {{0, book.Set(FrameText(book.model, row.at), styles::kTiny, kFrames - 8), PlaceOf(row.at.ref)},
         {kFrames, book.Set(row.step_name, styles::kSmall, kStep - kFrames - 10), {}},
         {kStep, book.Set(set, styles::kBody, book.pages.width() - kStep), {}}});
    book.pages.Take(3);
  }
}

}  // namespace afterscope

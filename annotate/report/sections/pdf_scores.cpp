// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/frame_text.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

namespace afterscope {

namespace {

void SetScore(PdfBook& book, const ScoreRow& row) {
  const double value_at = 0.5 * book.pages.width();
  const double room = book.pages.width() - value_at;
  book.pages.Row({{0, book.Set(row.name, styles::kBody, value_at - 12), {}},
                  {value_at, book.Set(row.value, styles::kSmall, room), {}}});
  if (!row.remark.empty()) book.pages.Paragraph(row.remark, styles::kVoiceSmall, value_at);
  if (!row.moments.empty()) {
    const Cell frames{value_at, book.Set(FramesText(book.model, row.moments, 2), styles::kTiny, room),
                      PlaceOf(row.moments.front().ref)};
    book.pages.Row({frames});
  }
  book.pages.Take(2);
}

}  // namespace

void SetScores(PdfBook& book) {
  if (book.model.scores.empty()) return;
  SectionHeading(book, "scores", 80);
  for (const ScorePanel& panel : book.model.scores) {
    book.pages.Paragraph(panel.title, styles::kStrong);
    book.pages.Take(3);
    std::string group;
    for (const ScoreRow& row : panel.rows) {
      if (row.group != group && !row.group.empty()) {
        book.pages.Take(3);
        book.pages.Paragraph(row.group, styles::kLabel);
      }
      group = row.group;
      SetScore(book, row);
    }
    book.pages.Take(3);
    book.pages.Paragraph(panel.sum, styles::kBody);
    book.pages.Take(6);
  }
  book.pages.Paragraph(book.Text("scores.note"), styles::kSmall);
}

}  // namespace afterscope

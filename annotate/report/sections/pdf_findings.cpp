// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/sections/pdf_sections.hpp"

namespace afterscope {

void SetKeyFindings(PdfBook& book) {
  SectionHeading(book, "findings", 40);
  if (book.model.key_findings.empty()) return book.pages.Paragraph(book.Text("findings.none"), styles::kBody);
  FindingTable(book, book.model.key_findings, false);
}

void SetNotReviewed(PdfBook& book) {
  SectionHeading(book, "not_reviewed", 40);
  if (book.model.not_reviewed.empty())
    return book.pages.Paragraph(book.Text("not_reviewed.none"), styles::kBody);
  for (const std::string& line : book.model.not_reviewed) {
    book.pages.Paragraph(line, styles::kBody);
    book.pages.Take(1.5);
  }
  book.pages.Take(1);
  book.pages.Paragraph(book.Text("not_reviewed.note"), styles::kSmall);
}

void SetOtherFindings(PdfBook& book) {
  if (book.model.other_findings.empty()) return;
  SectionHeading(book, "other", 60);
  for (const FindingGroup& group : book.model.other_findings) {
    Subheading(book, group.title);
    FindingTable(book, group.findings, true);
  }
}

}  // namespace afterscope

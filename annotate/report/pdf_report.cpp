// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf_report.hpp"

#include "annotate/report/build/parts.hpp"
#include "annotate/report/pdf/emit_pdf.hpp"
#include "annotate/report/safe_text.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

void SetAll(PdfBook& book) {
  SetHeading(book);
  SetWords(book);
  SetStrip(book);
  SetKeyFindings(book);
  SetNotReviewed(book);
  if (book.pages.page() == 1) book.pages.NewPage();  // one page for the trainee, then detail
  SetSteps(book);
  SetRhexis(book);
  SetTrails(book);
  SetOtherFindings(book);
  SetMoments(book);
  SetSettings(book);
  SetChecks(book);
  SetScores(book);
  SetMethod(book);
  SetCautions(book);
}

// Which case, what it is for, which page.
void DrawFooter(cairo_t* cairo, PdfBook& book, int page, int pages) {
  const PageSetup& setup = book.pages.setup();
  const double y = setup.height - setup.bottom + 20;
  const TextBlock number = book.Set(
      FillBraces(book.Text("page"), {fmt::format("{}", page), fmt::format("{}", pages)}), styles::kTiny);
  number.Draw(cairo, setup.width - setup.side - number.width(), y);
  const TextBlock scope = book.Set(book.Text("scope"), styles::kTiny);
  scope.Draw(cairo, setup.side, y);
  const double room = setup.TextWidth() - number.width() - scope.width() - 20;
  const TextBlock code = book.Set(book.model.heading.case_code, styles::kTiny);
  if (code.width() < room) code.Draw(cairo, setup.width - setup.side - number.width() - 10 - code.width(), y);
}

std::string TitleOf(const ReportModel& model) {
  const std::string& title = model.words.Text("title");
  return model.heading.case_code.empty() ? title
                                         : fmt::format("{} {}", title, SafeText(model.heading.case_code));
}

}  // namespace

Result<PdfFile> MakePdf(const ReportModel& model, const PdfOptions& options) {
  PdfFile file;
  const PageSetup setup = PageSetupFor(options.paper);
  Typesetter typesetter(model.words.Text("text.shortened"));
  Pages pages(setup, typesetter);
  PdfBook book{model, pages};
  SetAll(book);
  if (typesetter.missing_glyphs() > 0)
    pages.Paragraph(FillBraces(book.Text("caution.glyphs"), {fmt::format("{}", typesetter.missing_glyphs())}),
                    styles::kBody);

  AFTERSCOPE_ASSIGN(file.bytes,
                    EmitPdf(pages, TitleOf(model), options.made_at,
                            [&](cairo_t* on, int page, int count) { DrawFooter(on, book, page, count); }));
  file.pages = static_cast<int>(pages.page());
  file.missing_glyphs = typesetter.missing_glyphs();
  return file;
}

}  // namespace afterscope

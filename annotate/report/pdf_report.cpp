// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf_report.hpp"

#include "annotate/report/build/parts.hpp"
#include "annotate/report/pdf/emit_pdf.hpp"
#include "annotate/report/pdf/page_image.hpp"
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
  SetEyeOverTime(book);
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
  std::string title = model.words.Text("title");
  if (!model.heading.case_code.empty()) title += " " + SafeText(model.heading.case_code);
  return title;
}

// The report set on its pages, to be drawn.
class SetReport {
 public:
  SetReport(const ReportModel& model, const PdfOptions& options)
      : typesetter_(model.words.Text("text.shortened")),
        pages_(PageSetupFor(options.paper), typesetter_),
        book_{model, pages_} {
    SetAll(book_);
    if (missing_glyphs() > 0)
      pages_.Paragraph(FillBraces(book_.Text("caution.glyphs"), {fmt::format("{}", missing_glyphs())}),
                       styles::kBody);
  }
  SetReport(const SetReport&) = delete;
  SetReport& operator=(const SetReport&) = delete;

  const Pages& pages() const { return pages_; }
  int missing_glyphs() const { return typesetter_.missing_glyphs(); }
  std::function<void(cairo_t*, int, int)> Footer() {
    return [this](cairo_t* on, int page, int count) { DrawFooter(on, book_, page, count); };
  }

 private:
  Typesetter typesetter_;
  Pages pages_;
  PdfBook book_;
};

}  // namespace

Result<PdfFile> MakePdf(const ReportModel& model, const PdfOptions& options) {
  PdfFile file;
  SetReport set(model, options);
  AFTERSCOPE_ASSIGN(file.bytes, EmitPdf(set.pages(), TitleOf(model), options.made_at, set.Footer()));
  file.pages = static_cast<int>(set.pages().page());
  file.missing_glyphs = set.missing_glyphs();
  return file;
}

Result<ReportPage> MakeReportPage(const ReportModel& model, const PdfOptions& options, int page,
                                  double pixels_per_point) {
  SetReport set(model, options);
  return PageImage(set.pages(), page, pixels_per_point, set.Footer());
}

}  // namespace afterscope

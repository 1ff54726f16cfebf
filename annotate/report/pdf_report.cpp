// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf_report.hpp"

#include "annotate/report/build/parts.hpp"
#include "annotate/report/safe_text.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

#include <cairo-pdf.h>
#include <cairo.h>
#include <fmt/format.h>

#include <memory>

namespace afterscope {

namespace {

cairo_status_t Collect(void* bytes, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

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

void SetMetadata(cairo_surface_t* surface, const ReportModel& model, const PdfOptions& options) {
  std::string title = model.words.Text("title");
  if (!model.heading.case_code.empty())
    title = fmt::format("{} {}", title, SafeText(model.heading.case_code));
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title.c_str());
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "Afterscope");
  if (!options.made_at.empty())
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, options.made_at.c_str());
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

  const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
      cairo_pdf_surface_create_for_stream(Collect, &file.bytes, setup.width, setup.height),
      cairo_surface_destroy);
  SetMetadata(surface.get(), model, options);
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(surface.get()), cairo_destroy);
  pages.Emit(cairo.get(), surface.get(),
             [&](cairo_t* on, int page, int count) { DrawFooter(on, book, page, count); });
  cairo_surface_finish(surface.get());
  cairo_status_t status = cairo_status(cairo.get());
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(surface.get());
  if (status != CAIRO_STATUS_SUCCESS)
    return Error{ErrorCode::kUnwritable,
                 fmt::format("The PDF could not be made: {}.", cairo_status_to_string(status))};
  file.pages = static_cast<int>(pages.page());
  file.missing_glyphs = typesetter.missing_glyphs();
  return file;
}

}  // namespace afterscope

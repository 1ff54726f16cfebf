// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/emit_pdf.hpp"

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

void SetMetadata(cairo_surface_t* surface, const std::string& title, const std::string& made_at) {
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title.c_str());
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "Afterscope");
  if (!made_at.empty())
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, made_at.c_str());
}

}  // namespace

Result<std::string> EmitPdf(const Pages& pages, const std::string& title, const std::string& made_at,
                            const std::function<void(cairo_t*, int, int)>& footer) {
  std::string bytes;
  const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
      cairo_pdf_surface_create_for_stream(Collect, &bytes, pages.setup().width, pages.setup().height),
      cairo_surface_destroy);
  SetMetadata(surface.get(), title, made_at);
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(surface.get()), cairo_destroy);
  pages.Emit(cairo.get(), surface.get(), footer);
  cairo_surface_finish(surface.get());
  cairo_status_t status = cairo_status(cairo.get());
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(surface.get());
  if (status != CAIRO_STATUS_SUCCESS)
    return Error{ErrorCode::kUnwritable,
                 fmt::format("The PDF could not be made: {}.", cairo_status_to_string(status))};
  return bytes;
}

}  // namespace afterscope

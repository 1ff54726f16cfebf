// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/page_image.hpp"

#include "annotate/report/surface_image.hpp"

#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace afterscope {

Result<ReportPage> PageImage(const Pages& pages, int page, double pixels_per_point,
                             const std::function<void(cairo_t*, int, int)>& footer) {
  ReportPage made;
  made.pages = static_cast<int>(pages.page());
  made.page = std::clamp(page, 1, made.pages);
  const auto pixels = [&](double points) { return static_cast<int>(std::ceil(points * pixels_per_point)); };
  const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels(pages.setup().width),
                                 pixels(pages.setup().height)),
      cairo_surface_destroy);
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(surface.get()), cairo_destroy);
  cairo_set_source_rgb(cairo.get(), 1, 1, 1);
  cairo_paint(cairo.get());
  cairo_scale(cairo.get(), pixels_per_point, pixels_per_point);
  pages.DrawPage(cairo.get(), made.page, footer);
  if (const cairo_status_t status = cairo_status(cairo.get()); status != CAIRO_STATUS_SUCCESS)
    return Error{ErrorCode::kUnwritable, fmt::format("Page {} of the report could not be drawn: {}.",
                                                     made.page, cairo_status_to_string(status))};
  made.image = ImageOf(surface.get());
  return made;
}

}  // namespace afterscope

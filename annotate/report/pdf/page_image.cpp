// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/page_image.hpp"

#include <cairo.h>
#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <cstring>
#include <memory>

namespace afterscope {
namespace {

// Cairo's pixels are 32-bit numbers of which the lower three bytes are red, green and blue.
RgbImage FromSurface(cairo_surface_t* surface) {
  RgbImage image;
  image.width = cairo_image_surface_get_width(surface);
  image.height = cairo_image_surface_get_height(surface);
  image.pixels.reserve(static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height) * 3);
  const unsigned char* row = cairo_image_surface_get_data(surface);
  for (int y = 0; y < image.height; ++y, row += cairo_image_surface_get_stride(surface)) {
    for (int x = 0; x < image.width; ++x) {
      std::uint32_t pixel = 0;
      std::memcpy(&pixel, row + 4 * x, sizeof pixel);
      for (const int shift : {16, 8, 0}) image.pixels.push_back(static_cast<std::uint8_t>(pixel >> shift));
    }
  }
  return image;
}

}  // namespace

Result<RgbImage> PageImage(const Pages& pages, int page, double pixels_per_point,
                           const std::function<void(cairo_t*, int, int)>& footer) {
  const auto pixels = [&](double points) { return static_cast<int>(std::ceil(points * pixels_per_point)); };
  const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels(pages.setup().width),
                                 pixels(pages.setup().height)),
      cairo_surface_destroy);
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(surface.get()), cairo_destroy);
  cairo_set_source_rgb(cairo.get(), 1, 1, 1);
  cairo_paint(cairo.get());
  cairo_scale(cairo.get(), pixels_per_point, pixels_per_point);
  pages.DrawPage(cairo.get(), page, footer);
  cairo_surface_flush(surface.get());
  if (const cairo_status_t status = cairo_status(cairo.get()); status != CAIRO_STATUS_SUCCESS)
    return Error{ErrorCode::kUnwritable, fmt::format("Page {} of the report could not be drawn: {}.", page,
                                                     cairo_status_to_string(status))};
  return FromSurface(surface.get());
}

}  // namespace afterscope

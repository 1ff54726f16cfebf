// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/surface_image.hpp"

#include <cstddef>
#include <cstdint>

namespace afterscope {

RgbImage ImageOf(cairo_surface_t* surface) {
  cairo_surface_flush(surface);
  RgbImage image{cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface), {}};
  const unsigned char* rows = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  image.pixels.reserve(static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height) * 3);
  for (int y = 0; y < image.height; ++y) {
    const auto* in = reinterpret_cast<const std::uint32_t*>(rows + static_cast<std::ptrdiff_t>(y) * stride);
    for (int x = 0; x < image.width; ++x)
      for (const int shift : {16, 8, 0}) image.pixels.push_back(static_cast<std::uint8_t>(in[x] >> shift));
  }
  return image;
}

}  // namespace afterscope

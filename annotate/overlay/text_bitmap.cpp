// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/text_bitmap.hpp"

#include <pango/pangocairo.h>

#include <algorithm>
#include <cstring>
#include <memory>

namespace afterscope {
namespace {

constexpr int kMostPixels = 4096;

template <auto function>
struct Releases {
  template <class T>
  void operator()(T* thing) const {
    function(thing);
  }
};
using Surface = std::unique_ptr<cairo_surface_t, Releases<cairo_surface_destroy>>;
using Context = std::unique_ptr<cairo_t, Releases<cairo_destroy>>;
using Layout = std::unique_ptr<PangoLayout, Releases<g_object_unref>>;
using Font = std::unique_ptr<PangoFontDescription, Releases<pango_font_description_free>>;

Layout MakeLayout(cairo_t* cairo, const std::string& text, const TextBitmapOptions& options) {
  Layout layout(pango_cairo_create_layout(cairo));
  const Font font(pango_font_description_from_string(options.family.c_str()));
  pango_font_description_set_absolute_size(font.get(), std::clamp(options.size_px, 1.0, 512.0) * PANGO_SCALE);
  if (options.bold) pango_font_description_set_weight(font.get(), PANGO_WEIGHT_BOLD);
  pango_layout_set_font_description(layout.get(), font.get());
  if (options.most_width_px > 0) {
    pango_layout_set_width(
        layout.get(), static_cast<int>(std::min<double>(options.most_width_px, kMostPixels) * PANGO_SCALE));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  } else {
    pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
  }
  const std::unique_ptr<char, Releases<g_free>> valid(
      g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())));
  pango_layout_set_text(layout.get(), valid.get(), -1);
  return layout;
}

}  // namespace

TextBitmap RenderText(const std::string& text, const TextBitmapOptions& options) {
  if (text.empty()) return {};
  const Surface probe(cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1));
  const Context measure(cairo_create(probe.get()));
  int width = 0;
  int height = 0;
  pango_layout_get_pixel_size(MakeLayout(measure.get(), text, options).get(), &width, &height);
  TextBitmap bitmap{std::clamp(width, 1, kMostPixels), std::clamp(height, 1, kMostPixels), {}};

  const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_A8, bitmap.width, bitmap.height));
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) return {};
  {
    const Context cairo(cairo_create(surface.get()));
    const Layout layout = MakeLayout(cairo.get(), text, options);
    cairo_set_source_rgba(cairo.get(), 1, 1, 1, 1);
    pango_cairo_show_layout(cairo.get(), layout.get());
  }
  cairo_surface_flush(surface.get());
  const auto columns = static_cast<std::size_t>(bitmap.width);
  const auto rows = static_cast<std::size_t>(bitmap.height);
  bitmap.coverage.resize(columns * rows);
  const unsigned char* data = cairo_image_surface_get_data(surface.get());
  const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(surface.get()));
  for (std::size_t y = 0; y < rows; ++y)
    std::memcpy(&bitmap.coverage[y * columns], data + y * stride, columns);
  return bitmap;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/frame_layer.hpp"

#include "annotate/overlay/cairo_painter.hpp"
#include "annotate/overlay/theme.hpp"

#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <memory>

namespace afterscope {
namespace {

constexpr double kPointsHigh = 540;  // a frame's height in points
constexpr double kMarginPt = 14;
constexpr double kCaptionPt = 19, kHeadingPt = 17, kTitlePt = 34, kFindingsPt = 13;
constexpr double kBelowTimerPt = 34;
constexpr double kCaptionWidth = 0.86;  // of the frame's
constexpr double kGroundOpacity = 0.62;

using SurfacePtr = std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)>;
using CairoPtr = std::unique_ptr<cairo_t, decltype(&cairo_destroy)>;
using LayoutPtr = std::unique_ptr<PangoLayout, decltype(&g_object_unref)>;
using FontPtr = std::unique_ptr<PangoFontDescription, decltype(&pango_font_description_free)>;

class WordPainter {
 public:
  WordPainter(cairo_t* cairo, int width, int height)
      : cairo_(cairo), width_(width), height_(height), point_(height / kPointsHigh) {}

  void Paint(const FrameWords& words) const {
    const double margin = kMarginPt * point_;
    if (!words.title.empty())
      Put(Layout(words.title, kTitlePt, true), 0.5, 0.5, width_ / 2.0, height_ / 2.0, false);
    if (!words.heading.empty()) Put(Layout(words.heading, kHeadingPt, false), 0, 0, margin, margin, true);
    if (!words.timer.empty())
      Put(Layout(words.timer, kHeadingPt, false), 1, 0, width_ - margin, margin, true);
    if (!words.findings.empty())
      Put(Layout(words.findings, kFindingsPt, false), 1, 0, width_ - margin, margin + kBelowTimerPt * point_,
          true);
    if (!words.caption.empty())
      Put(Layout(words.caption, kCaptionPt, true), 0.5, 1, width_ / 2.0, height_ - margin, true);
  }

 private:
  LayoutPtr Layout(const std::string& text, double size_pt, bool centred) const {
    LayoutPtr layout(pango_cairo_create_layout(cairo_), g_object_unref);
    const FontPtr font(pango_font_description_from_string("Noto Sans"), pango_font_description_free);
    pango_font_description_set_absolute_size(font.get(), size_pt * point_ * PANGO_SCALE);
    pango_layout_set_font_description(layout.get(), font.get());
    pango_layout_set_width(layout.get(), static_cast<int>(kCaptionWidth * width_ * PANGO_SCALE));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    if (centred) pango_layout_set_alignment(layout.get(), PANGO_ALIGN_CENTER);
    pango_layout_set_text(layout.get(), text.c_str(), static_cast<int>(text.size()));
    return layout;
  }

  // Places the ink box of the words by an anchor (0 to 1 of it) at a point of the frame.
  void Put(const LayoutPtr& layout, double anchor_x, double anchor_y, double x, double y, bool ground) const {
    PangoRectangle box;
    pango_layout_get_pixel_extents(layout.get(), nullptr, &box);
    const double left = x - anchor_x * box.width, top = y - anchor_y * box.height;
    if (ground) {
      const double pad = 5 * point_;
      cairo_set_source_rgba(cairo_, kCasing.r / 255.0, kCasing.g / 255.0, kCasing.b / 255.0, kGroundOpacity);
      cairo_rectangle(cairo_, left - pad, top - pad / 2, box.width + 2 * pad, box.height + pad);
      cairo_fill(cairo_);
    }
    cairo_set_source_rgb(cairo_, 1, 1, 1);
    cairo_move_to(cairo_, left - box.x, top - box.y);
    pango_cairo_show_layout(cairo_, layout.get());
    cairo_new_path(cairo_);
  }

  cairo_t* cairo_;
  int width_, height_;
  double point_;
};

}  // namespace

std::vector<std::uint32_t> PaintFrameLayer(int width, int height, const ShapeList& shapes,
                                           const OutFromSq& out_from_sq, const FrameWords& words) {
  if (shapes.empty() && words.empty()) return {};
  std::vector<std::uint32_t> layer(static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
  const SurfacePtr surface(cairo_image_surface_create_for_data(reinterpret_cast<unsigned char*>(layer.data()),
                                                               CAIRO_FORMAT_ARGB32, width, height, 4 * width),
                           cairo_surface_destroy);
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) return {};
  {
    const CairoPtr cairo(cairo_create(surface.get()), cairo_destroy);
    PaintShapes(cairo.get(), shapes, out_from_sq, {height / kPointsHigh, true});
    WordPainter(cairo.get(), width, height).Paint(words);
  }
  cairo_surface_finish(surface.get());
  return layer;
}

}  // namespace afterscope

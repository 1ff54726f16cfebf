// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/cairo_painter.hpp"

#include "annotate/overlay/theme.hpp"

#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <vector>

namespace afterscope {

namespace {

void SetColor(cairo_t* cairo, Rgb color, double opacity = 1) {
  cairo_set_source_rgba(cairo, color.r / 255.0, color.g / 255.0, color.b / 255.0, opacity);
}

bool Finite(PointSq p) { return std::isfinite(p.x) && std::isfinite(p.y); }

std::vector<double> DashesOf(LineStyle style, double width) {
  switch (style) {
    case LineStyle::kSolid:
      return {};
    case LineStyle::kDashed:
      return {4 * width, 2.5 * width};
    case LineStyle::kDotted:
      return {0.01 * width, 2 * width};
    case LineStyle::kDashDot:
      return {5 * width, 2.2 * width, 0.01 * width, 2.2 * width};
  }
  return {};
}

class Painter {
 public:
  Painter(cairo_t* cairo, const OutFromSq& place, const PaintOptions& options)
      : cairo_(cairo), place_(place), options_(options) {}

  void operator()(const PolylineShape& line) const {
    if (line.points.empty() || !std::all_of(line.points.begin(), line.points.end(), Finite)) return;
    cairo_new_path(cairo_);
    for (const PointSq p : line.points) cairo_line_to(cairo_, place_.X(p), place_.Y(p));
    if (line.closed) cairo_close_path(cairo_);
    if (line.filled) {
      SetColor(cairo_, ColorOf(line.role));
      cairo_fill_preserve(cairo_);
    }
    Stroke(line.role, line.width_pt, line.style);
  }

  void operator()(const AreaShape& area) const {
    cairo_new_path(cairo_);
    for (const std::vector<PointSq>& outline : area.outlines) {
      if (outline.size() < 3 || !std::all_of(outline.begin(), outline.end(), Finite)) continue;
      for (const PointSq p : outline) cairo_line_to(cairo_, place_.X(p), place_.Y(p));
      cairo_close_path(cairo_);
      cairo_new_sub_path(cairo_);
    }
    cairo_set_fill_rule(cairo_, CAIRO_FILL_RULE_EVEN_ODD);
    SetColor(cairo_, ColorOf(area.role), area.opacity);
    cairo_fill_preserve(cairo_);
    cairo_set_fill_rule(cairo_, CAIRO_FILL_RULE_WINDING);
    Stroke(area.role, area.width_pt, LineStyle::kSolid);
  }

  void operator()(const DotShape& dot) const {
    if (!Finite(dot.at)) return;
    const double radius = dot.radius_pt * options_.unit_per_pt;
    cairo_new_path(cairo_);
    cairo_arc(cairo_, place_.X(dot.at), place_.Y(dot.at), radius, 0, 2 * std::numbers::pi);
    if (options_.casing) {
      SetColor(cairo_, kCasing, kCasingOpacity);
      cairo_set_line_width(cairo_, kCasingExtraPt * options_.unit_per_pt);
      cairo_set_dash(cairo_, nullptr, 0, 0);
      cairo_stroke_preserve(cairo_);
    }
    SetColor(cairo_, ColorOf(dot.role));
    cairo_fill(cairo_);
  }

  void operator()(const TextShape& text) const {
    if (!Finite(text.at) || text.text.empty()) return;
    const std::unique_ptr<PangoLayout, decltype(&g_object_unref)> layout(pango_cairo_create_layout(cairo_),
                                                                         g_object_unref);
    const std::unique_ptr<PangoFontDescription, decltype(&pango_font_description_free)> font(
        pango_font_description_from_string("Noto Sans"), pango_font_description_free);
    pango_font_description_set_absolute_size(font.get(), text.size_pt * options_.unit_per_pt * PANGO_SCALE);
    pango_layout_set_font_description(layout.get(), font.get());
    pango_layout_set_text(layout.get(), text.text.c_str(), static_cast<int>(text.text.size()));
    int width = 0;
    int height = 0;
    pango_layout_get_size(layout.get(), &width, &height);
    const double x = place_.X(text.at) - text.anchor_x * width / PANGO_SCALE;
    const double y = place_.Y(text.at) - text.anchor_y * height / PANGO_SCALE;
    if (options_.casing) Rim(layout.get(), x, y);
    cairo_move_to(cairo_, x, y);
    SetColor(cairo_, ColorOf(text.role));
    pango_cairo_show_layout(cairo_, layout.get());
    cairo_new_path(cairo_);
  }

 private:
  void Stroke(Role role, double width_pt, LineStyle style) const {
    const double width = width_pt * options_.unit_per_pt;
    const std::vector<double> dashes = DashesOf(style, width);
    cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(cairo_, CAIRO_LINE_CAP_ROUND);
    cairo_set_dash(cairo_, dashes.data(), static_cast<int>(dashes.size()), 0);
    if (options_.casing) {
      SetColor(cairo_, kCasing, kCasingOpacity);
      cairo_set_line_width(cairo_, width + kCasingExtraPt * options_.unit_per_pt);
      cairo_stroke_preserve(cairo_);
    }
    SetColor(cairo_, ColorOf(role));
    cairo_set_line_width(cairo_, width);
    cairo_stroke(cairo_);
    cairo_set_dash(cairo_, nullptr, 0, 0);
  }

  void Rim(PangoLayout* layout, double x, double y) const {
    cairo_move_to(cairo_, x, y);
    pango_cairo_layout_path(cairo_, layout);
    SetColor(cairo_, kCasing, kCasingOpacity + 0.2);
    cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_width(cairo_, 1.4 * kCasingExtraPt * options_.unit_per_pt);
    cairo_stroke(cairo_);
  }

  cairo_t* cairo_;
  const OutFromSq& place_;
  const PaintOptions& options_;
};

}  // namespace

void PaintShapes(cairo_t* cairo, const ShapeList& shapes, const OutFromSq& out_from_sq,
                 const PaintOptions& options) {
  cairo_save(cairo);
  const Painter painter(cairo, out_from_sq, options);
  for (const Shape& shape : shapes) std::visit(painter, shape);
  cairo_restore(cairo);
}

}  // namespace afterscope

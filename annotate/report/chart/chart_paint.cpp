// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/chart/chart_paint.hpp"

#include "annotate/report/html/html_text.hpp"
#include "annotate/report/pdf/furniture.hpp"

#include <cairo.h>
#include <fmt/format.h>

namespace afterscope {
namespace {

constexpr double kTextPt = 6.5;
constexpr double kDash = 3;

double Shift(ChartAnchor anchor, double width) {
  if (anchor == ChartAnchor::kStart) return 0;
  return anchor == ChartAnchor::kMiddle ? -width / 2 : -width;
}

void PaintLine(cairo_t* cairo, const ChartLine& line, double x, double y) {
  SetColor(cairo, PaperColor(line.ink));
  cairo_set_line_width(cairo, line.width);
  if (line.dashed) cairo_set_dash(cairo, &kDash, 1, 0);
  cairo_new_path(cairo);  // words that were set leave a point behind, which would be joined
  for (const ChartPoint& point : line.points) cairo_line_to(cairo, x + point.x, y + point.y);
  cairo_stroke(cairo);
  cairo_set_dash(cairo, nullptr, 0, 0);
}

void PaintDot(cairo_t* cairo, const ChartDot& dot, double x, double y) {
  SetColor(cairo, PaperColor(dot.ink));
  cairo_new_sub_path(cairo);
  if (dot.square)
    cairo_rectangle(cairo, x + dot.at.x - dot.radius, y + dot.at.y - dot.radius, 2 * dot.radius,
                    2 * dot.radius);
  else
    cairo_arc(cairo, x + dot.at.x, y + dot.at.y, dot.radius, 0, 6.283185307179586);
  if (dot.filled) return cairo_fill(cairo);
  cairo_set_line_width(cairo, 0.9);
  cairo_stroke(cairo);
}

std::string Hex(ChartInk ink) {
  const Rgb color = PaperColor(ink);
  return fmt::format("#{:02x}{:02x}{:02x}", color.r, color.g, color.b);
}

std::string SvgLine(const ChartLine& line) {
  std::string points;
  for (const ChartPoint& point : line.points) points += fmt::format("{:.2f},{:.2f} ", point.x, point.y);
  return fmt::format("<polyline points=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"{}/>\n", points,
                     Hex(line.ink), line.width, line.dashed ? " stroke-dasharray=\"3\"" : "");
}

std::string SvgDot(const ChartDot& dot) {
  const std::string color = Hex(dot.ink);
  const std::string shape =
      dot.square ? fmt::format("rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{}\" height=\"{}\"",
                               dot.at.x - dot.radius, dot.at.y - dot.radius, 2 * dot.radius, 2 * dot.radius)
                 : fmt::format("circle cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"{}\"", dot.at.x, dot.at.y, dot.radius);
  return fmt::format("<{} fill=\"{}\" stroke=\"{}\" stroke-width=\"{}\"/>\n", shape,
                     dot.filled ? color : "none", color, dot.filled ? 0 : 0.9);
}

std::string SvgText(const ChartText& text) {
  constexpr const char* kAnchors[] = {"start", "middle", "end"};
  return fmt::format(
      "<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"{}\" font-size=\"7\" fill=\"{}\">{}</text>\n", text.at.x,
      text.at.y, kAnchors[static_cast<int>(text.anchor)], Hex(ChartInk::kSoft), EscapeHtml(text.text));
}

}  // namespace

Rgb PaperColor(ChartInk ink) {
  switch (ink) {
    case ChartInk::kInk:
      return kInk;
    case ChartInk::kSoft:
      return kSoftInk;
    case ChartInk::kHair:
      return kHairline;
    case ChartInk::kBand:
      return Mixed(okabe_ito::kSkyBlue, kWhite, 0.7);
    case ChartInk::kValue:
      return okabe_ito::kBlue;
    case ChartInk::kCurve:
      return okabe_ito::kOrange;
    case ChartInk::kAlarm:
      return okabe_ito::kVermilion;
  }
  return kInk;
}

void PaintChart(cairo_t* cairo, Typesetter& typesetter, const Chart& chart, double x, double y) {
  for (const ChartBand& band : chart.bands) {
    SetColor(cairo, PaperColor(band.ink));
    cairo_rectangle(cairo, x + band.x, y + band.y, band.width, band.height);
    cairo_fill(cairo);
  }
  for (const ChartLine& line : chart.lines) PaintLine(cairo, line, x, y);
  for (const ChartDot& dot : chart.dots) PaintDot(cairo, dot, x, y);
  for (const ChartText& text : chart.texts) {
    const TextBlock block = typesetter.Set(text.text, {.size_pt = kTextPt, .color = kSoftInk});
    block.Draw(cairo, x + text.at.x + Shift(text.anchor, block.width()), y + text.at.y - block.baseline());
  }
}

std::string SvgFromChart(const Chart& chart) {
  std::string svg =
      fmt::format("<svg class=\"chart\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\"><title>{}</title>\n",
                  chart.width, chart.height, EscapeHtml(chart.words));
  for (const ChartBand& band : chart.bands)
    svg += fmt::format("<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"{}\"/>\n",
                       band.x, band.y, band.width, band.height, Hex(band.ink));
  for (const ChartLine& line : chart.lines) svg += SvgLine(line);
  for (const ChartDot& dot : chart.dots) svg += SvgDot(dot);
  for (const ChartText& text : chart.texts) svg += SvgText(text);
  return svg + "</svg>\n";
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/chart_view.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kTextPt = 6.5F;  // of the charts in the reports
constexpr float kDashPt = 3;

void PaintDashed(ImDrawList* list, ImVec2 from, ImVec2 to, ImU32 colour, float width, float dash) {
  const float length = std::hypot(to.x - from.x, to.y - from.y);
  if (length <= 0) return;
  const ImVec2 step{(to.x - from.x) / length, (to.y - from.y) / length};
  for (float at = 0; at < length; at += 2 * dash) {
    const float end = std::min(at + dash, length);
    list->AddLine({from.x + at * step.x, from.y + at * step.y},
                  {from.x + end * step.x, from.y + end * step.y}, colour, width);
  }
}

void PaintLine(const Look& look, ImDrawList* list, const ChartLine& line, const ChartView& view) {
  const ImU32 colour = Ink(ScreenColour(look.colours, line.ink));
  const float width = std::max(1.0F, static_cast<float>(line.width) * view.scale * 0.7F);
  for (std::size_t i = 1; i < line.points.size(); ++i) {
    const ImVec2 from = view.At(line.points[i - 1]), to = view.At(line.points[i]);
    if (line.dashed)
      PaintDashed(list, from, to, colour, width, kDashPt * view.scale);
    else
      list->AddLine(from, to, colour, width);
  }
}

void PaintDot(const Look& look, ImDrawList* list, const ChartDot& dot, const ChartView& view) {
  const ImU32 colour = Ink(ScreenColour(look.colours, dot.ink));
  const float radius = static_cast<float>(dot.radius) * view.scale;
  const float line = std::max(1.2F, view.scale * 0.8F);
  const ImVec2 at = view.At(dot.at);
  if (dot.square) {
    const ImVec2 from{at.x - radius, at.y - radius}, to{at.x + radius, at.y + radius};
    return dot.filled ? list->AddRectFilled(from, to, colour) : list->AddRect(from, to, colour, 0, 0, line);
  }
  if (dot.filled)
    list->AddCircleFilled(at, radius, colour);
  else
    list->AddCircle(at, radius, colour, 0, line);
}

void PaintText(const Look& look, ImDrawList* list, const ChartText& text, const ChartView& view) {
  const ImFont* font = look.fonts.small;
  const float width = look.script->Size(font, text.text).x;
  const float shift = text.anchor == ChartAnchor::kStart    ? 0
                      : text.anchor == ChartAnchor::kMiddle ? width / 2
                                                            : width;
  const ImVec2 at = view.At(text.at);
  look.script->Draw(list, font, {std::round(at.x - shift), std::round(at.y - font->Ascent)},
                    Ink(look.colours.quiet), text.text);
}

}  // namespace

float ChartScale(const Look& look) { return look.fonts.small->FontSize / kTextPt * 0.86F; }

std::optional<std::size_t> PointUnder(const Chart& chart, const ChartView& view, float x, float y,
                                      float reach) {
  std::optional<std::size_t> nearest;
  float least = reach;
  for (const ChartDot& dot : chart.dots) {
    if (!dot.point) continue;
    const ImVec2 at = view.At(dot.at);
    const float distance = std::hypot(at.x - x, at.y - y);
    if (distance > least) continue;
    least = distance;
    nearest = dot.point;
  }
  return nearest;
}

Rgb ScreenColour(const Palette& c, ChartInk ink) {
  switch (ink) {
    case ChartInk::kInk:
      return c.text;
    case ChartInk::kSoft:
      return c.quiet;
    case ChartInk::kHair:
      return c.rule;
    case ChartInk::kBand:
      return Mixed(c.focus, c.sheet, 0.75);
    case ChartInk::kValue:
      return c.focus;
    case ChartInk::kCurve:
      return c.light ? Mixed(okabe_ito::kOrange, okabe_ito::kBlack, 0.25) : okabe_ito::kYellow;
    case ChartInk::kAlarm:
      return c.warning;
  }
  return c.text;
}

void PaintChart(const Look& look, ImDrawList* list, const Chart& chart, const ChartView& view,
                std::optional<std::size_t> chosen) {
  for (const ChartBand& band : chart.bands)
    list->AddRectFilled(view.At({band.x, band.y}), view.At({band.x + band.width, band.y + band.height}),
                        Ink(ScreenColour(look.colours, band.ink)));
  for (const ChartLine& line : chart.lines) PaintLine(look, list, line, view);
  for (const ChartDot& dot : chart.dots) {
    PaintDot(look, list, dot, view);
    if (chosen && dot.point == chosen)
      list->AddCircle(view.At(dot.at), (static_cast<float>(dot.radius) + 3) * view.scale,
                      Ink(look.colours.text), 0, look.Px(1.6F));
  }
  for (const ChartText& text : chart.texts) PaintText(look, list, text, view);
}

}  // namespace afterscope

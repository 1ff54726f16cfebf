// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/cover_map.hpp"

#include "annotate/report/sections/cover_look.hpp"

#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {

namespace {

constexpr double kBars = 64;  // room of the millimetres
constexpr double kBand = 7;   // room of the states
constexpr double kHours = 13;
constexpr double kLegendRow = 10;
constexpr double kAxis = 22;  // left of the bars

// Hour 12 lies at both ends.
double ShareOfHour(double hour) { return std::fmod(hour, 12.0) / 12.0; }

// The dark ink on paper where the role's colour is too light for a line.
Rgb OnPaper(Role role) {
  const Rgb color = ColorOf(role);
  return role == Role::kHiddenByIris ? Rgb{150, 150, 150}
         : role == Role::kUncertain  ? okabe_ito::kOrange
                                     : color;
}

void StateLine(cairo_t* cairo, Overlap kind, double x0, double x1, double y) {
  const CoverLook look = LookOfCover(kind);
  static constexpr double kDashed[] = {5, 2.5};
  static constexpr double kDotted[] = {0.01, 3.4};
  static constexpr double kDashDot[] = {6, 3, 0.01, 3};
  const bool thin = look.style == LineStyle::kDashDot;
  cairo_set_line_width(cairo, thin ? 1.6 : 3);
  cairo_set_line_cap(cairo, look.style == LineStyle::kSolid || look.style == LineStyle::kDashed
                                ? CAIRO_LINE_CAP_BUTT
                                : CAIRO_LINE_CAP_ROUND);
  if (look.style == LineStyle::kDashed) cairo_set_dash(cairo, kDashed, 2, 0);
  if (look.style == LineStyle::kDotted) cairo_set_dash(cairo, kDotted, 2, 0);
  if (look.style == LineStyle::kDashDot) cairo_set_dash(cairo, kDashDot, 4, 0);
  if (look.style == LineStyle::kSolid) cairo_set_dash(cairo, nullptr, 0, 0);
  SetColor(cairo, OnPaper(look.role));
  cairo_move_to(cairo, x0, y);
  cairo_line_to(cairo, x1, y);
  cairo_stroke(cairo);
  cairo_set_dash(cairo, nullptr, 0, 0);
}

void DrawStates(cairo_t* cairo, const std::vector<CoverSector>& cover, double x, double width, double y) {
  const double half = 0.5 / static_cast<double>(cover.size());
  for (std::size_t i = 0; i < cover.size();) {
    std::size_t last = i;
    while (last + 1 < cover.size() && cover[last + 1].kind == cover[i].kind) ++last;
    // A sector at 12 o'clock counts as hour 12 = share 0; the list ends with it.
    const auto share = [](const CoverSector& s) { return s.clock_hour >= 12 ? 1.0 : s.clock_hour / 12; };
    const double from = std::max(0.0, share(cover[i]) - half);
    const double to = std::min(1.0, share(cover[last]) + half);
    StateLine(cairo, cover[i].kind, x + from * width, x + to * width, y);
    if (i == 0 || last + 1 == cover.size()) {
      // What lies round 12 o'clock stands at both ends.
      const Overlap at_end = cover.back().kind;
      if (i == 0) StateLine(cairo, at_end, x, x + std::max(0.0, share(cover[0]) - half) * width, y);
    }
    i = last + 1;
  }
}

struct Scale {
  double low = 0, high = 1;
  double Y(double mm, double y) const { return y + kBars * (1 - (mm - low) / (high - low)); }
};

Scale ScaleOf(const std::vector<std::optional<Estimate>>& hours) {
  Scale scale{0, 0.5};
  for (const auto& hour : hours)
    if (hour) scale.low = std::min(scale.low, hour->low), scale.high = std::max(scale.high, hour->high);
  scale.low = -std::ceil(-scale.low / 0.25) * 0.25;
  scale.high = std::ceil(scale.high / 0.25) * 0.25;
  return scale;
}

void DrawBar(cairo_t* cairo, const Estimate& mm, double x, double y, const Scale& scale) {
  constexpr double kWidth = 7;
  const double zero = scale.Y(0, y);
  const double end = scale.Y(mm.value, y);
  SetColor(cairo, Mixed(OnPaper(mm.value >= 0 ? Role::kOverlapped : Role::kBare), kWhite, 0.45));
  cairo_rectangle(cairo, x - kWidth / 2, std::min(zero, end), kWidth, std::abs(zero - end));
  cairo_fill(cairo);
  SetColor(cairo, kInk);
  cairo_set_line_width(cairo, 0.7);
  for (const auto& [x0, y0, x1, y1] :
       {std::array{x, scale.Y(mm.low, y), x, scale.Y(mm.high, y)},
        std::array{x - 1.6, scale.Y(mm.low, y), x + 1.6, scale.Y(mm.low, y)},
        std::array{x - 1.6, scale.Y(mm.high, y), x + 1.6, scale.Y(mm.high, y)}}) {
    cairo_move_to(cairo, x0, y0);
    cairo_line_to(cairo, x1, y1);
  }
  cairo_stroke(cairo);
}

struct Legend {
  Overlap kind;
  TextBlock text;
};

struct Drawing {
  RhexisPanel panel;
  double width = 0;
  bool bars = false;
  Scale scale;
  std::vector<std::pair<double, TextBlock>> hours;  // share of the width
  std::vector<std::pair<double, TextBlock>> millimetres;
  std::vector<Legend> legend;

  void operator()(cairo_t* cairo, double x, double y) const {
    const double left = x + kAxis;
    const double inner = width - kAxis;
    if (bars) DrawBars(cairo, left, inner, y);
    const double band = y + (bars ? kBars : 0) + kBand / 2 + 2;
    DrawStates(cairo, panel.cover, left, inner, band);
    for (const auto& [share, text] : hours)
      text.Draw(cairo, left + share * inner - text.width() / 2, band + kBand / 2);
    double row = band + kBand / 2 + kHours;
    for (const Legend& entry : legend) {
      StateLine(cairo, entry.kind, left, left + 22, row + 5);
      entry.text.Draw(cairo, left + 27, row);
      row += kLegendRow;
    }
  }

  void DrawBars(cairo_t* cairo, double left, double inner, double y) const {
    for (const auto& [mm, text] : millimetres) {
      SetColor(cairo, mm == 0 ? kSoftInk : kHairline);
      cairo_set_line_width(cairo, mm == 0 ? 0.7 : 0.4);
      cairo_move_to(cairo, left, scale.Y(mm, y));
      cairo_line_to(cairo, left + inner, scale.Y(mm, y));
      cairo_stroke(cairo);
      text.Draw(cairo, left - 3 - text.width(), scale.Y(mm, y) - text.height() / 2);
    }
    for (std::size_t i = 0; i < panel.cover_mm.size(); ++i) {
      if (!panel.cover_mm[i]) continue;
      const double share = ShareOfHour(static_cast<double>(i + 1));
      DrawBar(cairo, *panel.cover_mm[i], left + share * inner, y, scale);
      if (share == 0) DrawBar(cairo, *panel.cover_mm[i], left + inner, y, scale);
    }
  }
};

}  // namespace

CoverMap MakeCoverMap(PdfBook& book, const RhexisPanel& panel, double width) {
  Drawing drawing;
  drawing.panel = panel;
  drawing.width = width - 4;
  drawing.bars = !panel.cover_mm.empty();
  drawing.scale = ScaleOf(panel.cover_mm);
  for (int hour = 0; hour <= 12; hour += 1)
    drawing.hours.emplace_back(hour / 12.0,
                               book.Set(fmt::format("{}", hour == 0 ? 12 : hour), styles::kTiny));
  const double step = drawing.scale.high - drawing.scale.low > 1 ? 0.5 : 0.25;
  for (double mm = drawing.scale.low; mm <= drawing.scale.high + 1e-9; mm += step) {
    const double round = std::abs(mm) < 1e-9 ? 0 : mm;
    const bool top = mm + step > drawing.scale.high + 1e-9;
    drawing.millimetres.emplace_back(
        round, book.Set(fmt::format("{}{:g}{}", round < 0 ? "\u2212" : "", std::abs(round), top ? " mm" : ""),
                        styles::kTiny));
  }
  for (const Overlap kind :
       {Overlap::kOverlapped, Overlap::kBare, Overlap::kUncertain, Overlap::kHiddenByIris})
    drawing.legend.push_back({kind, book.Set(book.Text(LookOfCover(kind).text_key), styles::kTiny)});
  const double height = (drawing.bars ? kBars : 0) + kBand + 2 + kHours + 4 * kLegendRow;
  return {height, std::move(drawing)};
}

}  // namespace afterscope

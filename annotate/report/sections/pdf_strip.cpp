// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"
#include "annotate/report/pdf/hatching.hpp"
#include "annotate/report/sections/pdf_sections.hpp"
#include "annotate/report/strip_layout.hpp"

#include <cairo.h>

#include <algorithm>

namespace afterscope {

namespace {

constexpr double kMomentRoom = 9;  // above the band
constexpr double kBand = 24;
constexpr double kAxisRoom = 15;  // under the names
constexpr double kRow = 11;       // of names

constexpr TextStyle kName{.size_pt = 7};

struct SetLabel {
  StripLabel at;
  TextBlock text;
};

void DrawBox(cairo_t* cairo, const StripBox& box, double x, double y) {
  const OutRect rect{x + box.x, y, box.width, kBand};
  cairo_rectangle(cairo, rect.x, rect.y, rect.width, rect.height);
  SetColor(cairo, StepTint(box.order));
  cairo_fill_preserve(cairo);
  SetColor(cairo, kWhite);
  cairo_set_line_width(cairo, box.width > 3 ? 0.6 : 0.15);
  cairo_stroke(cairo);
  if (!box.taken_over) return;
  SetColor(cairo, Mixed(kInk, kWhite, 0.25));
  Hatch(cairo, rect);
}

void DrawDiamond(cairo_t* cairo, double x, double y) {
  constexpr double kHalf = 3;
  cairo_move_to(cairo, x, y - kHalf);
  cairo_line_to(cairo, x + kHalf, y);
  cairo_line_to(cairo, x, y + kHalf);
  cairo_line_to(cairo, x - kHalf, y);
  cairo_close_path(cairo);
  SetColor(cairo, kInk);
  cairo_fill(cairo);
}

void DrawLine(cairo_t* cairo, double x0, double y0, double x1, double y1, Rgb color, double width) {
  SetColor(cairo, color);
  cairo_set_line_width(cairo, width);
  cairo_move_to(cairo, x0, y0);
  cairo_line_to(cairo, x1, y1);
  cairo_stroke(cairo);
}

// Everything of the strip, drawn with its top left corner at (x, y).
struct StripDrawing {
  StripLayout layout;
  double width = 0;
  std::vector<TextBlock> inside;  // one a box; empty ones are not drawn
  std::vector<SetLabel> labels;
  std::vector<std::pair<double, TextBlock>> axis;

  double Height() const {
    return layout.rows_above * kRow + kMomentRoom + kBand + 2 + layout.rows_below * kRow + kAxisRoom;
  }

  void operator()(cairo_t* cairo, double x, double y) const {
    const double band = y + layout.rows_above * kRow + kMomentRoom;
    for (const SetLabel& label : labels) DrawLabel(cairo, label, x, band);
    for (const double moment : layout.moments) DrawDiamond(cairo, x + moment, band - 4.5);
    for (std::size_t i = 0; i < layout.boxes.size(); ++i) DrawBox(cairo, layout.boxes[i], x, band);
    DrawInside(cairo, x, band);
    DrawAxis(cairo, x, band + kBand + 2 + layout.rows_below * kRow + 2);
  }

  void DrawAxis(cairo_t* cairo, double x, double y) const {
    DrawLine(cairo, x, y, x + width, y, kHairline, 0.5);
    double taken = -1e9;
    for (const auto& [at, text] : axis) {
      DrawLine(cairo, x + at, y, x + at, y + 2.5, kSoftInk, 0.5);
      const double left = std::clamp(at - text.width() / 2, 0.0, width - text.width());
      if (left > taken + 4) text.Draw(cairo, x + left, y + 2), taken = left + text.width();
    }
  }

  void DrawInside(cairo_t* cairo, double x, double band) const {
    for (std::size_t i = 0; i < inside.size(); ++i) {
      if (inside[i].lines() == 0) continue;
      const StripBox& box = layout.boxes[i];
      const double tx = x + box.x + (box.width - inside[i].width()) / 2;
      const double ty = band + (kBand - inside[i].height()) / 2;
      if (box.taken_over) {  // clear ground for the letters on the hatching
        cairo_rectangle(cairo, tx - 1.5, ty + 1, inside[i].width() + 3, inside[i].height() - 2);
        SetColor(cairo, StepTint(box.order));
        cairo_fill(cairo);
      }
      inside[i].Draw(cairo, tx, ty);
    }
  }

  static void DrawLabel(cairo_t* cairo, const SetLabel& label, double x, double band) {
    const double line_x = x + label.at.line_x;
    if (label.at.above) {
      const double top = band - kMomentRoom - (label.at.row + 1) * kRow;
      DrawLine(cairo, line_x, top + 1.5, line_x, band, kSoftInk, 0.35);
      label.text.Draw(cairo, x + label.at.x - 2, top);
    } else {
      const double top = band + kBand + 2 + label.at.row * kRow;
      DrawLine(cairo, line_x, band + kBand, line_x, top + 9, kSoftInk, 0.35);
      label.text.Draw(cairo, x + label.at.x + 2, top);
    }
  }
};

StripDrawing DrawingOf(PdfBook& book, const OperationStrip& strip) {
  StripDrawing drawing;
  drawing.width = book.pages.width();
  drawing.layout = LayOutStrip(strip, drawing.width,
                               [&](const std::string& text) { return book.Set(text, kName).width() + 2; });
  for (const StripBox& box : drawing.layout.boxes)
    drawing.inside.push_back(box.inside.empty() ? TextBlock{} : book.Set(box.inside, kName));
  for (const StripLabel& label : drawing.layout.labels)
    drawing.labels.push_back({label, book.Set(label.text, kName)});
  for (const double time : AxisTimes(strip)) {
    std::string text = FormatClock(time);
    text.resize(text.size() - 3);  // whole seconds
    drawing.axis.emplace_back(drawing.layout.XOf(strip.start_seconds + time), book.Set(text, styles::kTiny));
  }
  return drawing;
}

}  // namespace

void SetStrip(PdfBook& book) {
  const OperationStrip& strip = book.model.strip;
  SectionHeading(book, "strip", 60);
  if (strip.visits.empty()) return book.pages.Paragraph(book.Text("strip.none"), styles::kBody);
  StripDrawing drawing = DrawingOf(book, strip);
  const double height = drawing.Height();
  Figure(book, height, std::move(drawing));
  book.pages.Take(3);
  std::string legend;
  for (const StripVisit& visit : strip.visits)
    if (visit.taken_over && legend.empty()) legend = book.Text("strip.hatched");
  if (!strip.moment_seconds.empty()) legend += (legend.empty() ? "" : "  ·  ") + book.Text("strip.moments");
  book.pages.Paragraph(legend, styles::kTiny);
}

}  // namespace afterscope

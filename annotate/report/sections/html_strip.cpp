// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/theme.hpp"
#include "annotate/report/format.hpp"
#include "annotate/report/pdf/typesetter.hpp"
#include "annotate/report/sections/html_sections.hpp"
#include "annotate/report/strip_layout.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

constexpr double kWidthPx = 900, kBandPx = 40, kRowPx = 18, kMomentRoomPx = 16, kAxisRoomPx = 26;
constexpr TextStyle kStripName{.size_pt = 12};

std::string Hex(Rgb color) { return fmt::format("#{:02x}{:02x}{:02x}", color.r, color.g, color.b); }

void WriteBoxes(HtmlPage& page, const StripLayout& layout, const OperationStrip& strip, double band) {
  for (std::size_t i = 0; i < layout.boxes.size(); ++i) {
    const StripBox& box = layout.boxes[i];
    const StripVisit& visit = strip.visits[i];
    const std::string place = fmt::format("x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\"",
                                          box.x, band, box.width, kBandPx);
    page.out += fmt::format(
        "<rect {} fill=\"{}\" stroke=\"#fff\" stroke-width=\"{}\"><title>{}</title></rect>\n", place,
        Hex(StepTint(box.order)), box.width > 4 ? 1 : 0.2,
        EscapeHtml(visit.step_name + ", " + FormatLength(visit.end_seconds - visit.start_seconds)));
    if (box.taken_over) page.out += fmt::format("<rect {} fill=\"url(#hatch)\"/>\n", place);
    if (!box.inside.empty())
      page.out += fmt::format(
          "<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"middle\"{}>{}</text>\n", box.x + box.width / 2,
          band + kBandPx / 2 + 4,
          box.taken_over ? fmt::format(" class=\"over\" stroke=\"{}\"", Hex(StepTint(box.order))) : "",
          EscapeHtml(box.inside));
  }
}

void WriteLabels(HtmlPage& page, const StripLayout& layout, double band) {
  for (const StripLabel& label : layout.labels) {
    const double from = label.above ? band : band + kBandPx;
    const double to =
        label.above ? band - kMomentRoomPx - label.row * kRowPx : band + kBandPx + 4 + label.row * kRowPx;
    const double base = label.above ? to - 5 : to + 12;
    page.out += fmt::format(
        "<path class=\"thin\" d=\"M{0:.2f} {1:.2f}V{2:.2f}\"/><text x=\"{3:.2f}\" y=\"{4:.2f}\" "
        "text-anchor=\"{5}\">{6}"
        "</text>\n",
        label.line_x, from, label.above ? to - 14 : base, label.line_x + (label.above ? -4 : 4), base,
        label.above ? "end" : "start", EscapeHtml(label.text));
  }
}

void WriteAxis(HtmlPage& page, const StripLayout& layout, const OperationStrip& strip, double y) {
  page.out += fmt::format("<path class=\"thin\" d=\"M0 {0:.2f}H{1}\"/>\n", y, kWidthPx);
  for (const double time : AxisTimes(strip)) {
    std::string text = FormatClock(time);
    text.resize(text.size() - 3);  // whole seconds
    const double x = layout.XOf(strip.start_seconds + time);
    const char* anchor = x < 15 ? "start" : x > kWidthPx - 15 ? "end" : "middle";
    page.out += fmt::format(
        "<path class=\"thin\" d=\"M{0:.2f} {1:.2f}v4\"/><text class=\"tick\" x=\"{0:.2f}\" "
        "y=\"{2:.2f}\" text-anchor=\"{3}\">{4}</text>\n",
        x, y, y + 16, anchor, text);
  }
}

}  // namespace

void WriteStrip(HtmlPage& page) {
  const OperationStrip& strip = page.model.strip;
  page.OpenSection("strip");
  if (strip.visits.empty()) {
    page.Element("p", "", page.Text("strip.none"));
    return page.CloseSection();
  }
  Typesetter typesetter;
  const StripLayout layout = LayOutStrip(strip, kWidthPx, [&](const std::string& text) {
    return 1.06 * typesetter.Set(text, kStripName).width() + 4;
  });
  const double band = layout.rows_above * kRowPx + kMomentRoomPx;
  const double axis = band + kBandPx + 8 + layout.rows_below * kRowPx;
  page.out += fmt::format(
      "<div class=\"scroll\"><svg class=\"strip\" viewBox=\"0 0 {} {:.0f}\" role=\"img\" "
      "aria-label=\"{}\">\n",
      kWidthPx, axis + kAxisRoomPx, EscapeHtml(page.Text("strip")));
  page.out +=
      "<defs><pattern id=\"hatch\" width=\"6\" height=\"6\" patternTransform=\"rotate(45)\" "
      "patternUnits=\"userSpaceOnUse\"><path d=\"M0 0V6\" stroke=\"#1d2125\" "
      "stroke-width=\"2.2\"/></pattern></defs>\n";
  WriteLabels(page, layout, band);
  for (const double x : layout.moments)
    page.out += fmt::format("<path d=\"M{:.2f} {:.2f}l5 5-5 5-5-5z\" fill=\"#1d2125\"/>\n", x, band - 13);
  WriteBoxes(page, layout, strip, band);
  WriteAxis(page, layout, strip, axis);
  page.out += "</svg></div>\n";
  for (const StripVisit& visit : strip.visits) {
    if (!visit.taken_over) continue;
    page.Element("p", "small", page.Text("strip.hatched"));
    break;
  }
  if (!strip.moment_seconds.empty()) page.Element("p", "small", page.Text("strip.moments"));
  page.CloseSection();
}

}  // namespace afterscope

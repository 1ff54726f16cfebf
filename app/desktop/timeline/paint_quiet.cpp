// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/timeline/paint.hpp"

#include <fmt/format.h>

#include <cmath>

namespace afterscope {
namespace {

struct Drawing {
  const Look& look;
  ImDrawList* list;
  RowSpan row;

  // A share of the range as a place in the row, with a little air above and below.
  float YAt(float share) const {
    const float air = look.Px(3);
    return row.bottom - air - share * (row.bottom - row.top - 2 * air);
  }
  float Width() const { return std::max(1.0F, look.Px(1.4F)); }
};

void PaintColumns(const Drawing& d, const std::vector<QuietColumn>& columns) {
  const ImU32 ink = Ink(d.look.colours.quiet);
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const QuietColumn& column = columns[i];
    const float x = column.x + 0.5F;
    d.list->AddLine({x, d.YAt(column.low) + 0.5F}, {x, d.YAt(column.high) - 0.5F}, ink, d.Width());
    if (!column.joined) continue;
    const QuietColumn& before = columns[i - 1];
    d.list->AddLine({before.x + 0.5F, d.YAt((before.low + before.high) / 2)},
                    {x, d.YAt((column.low + column.high) / 2)}, ink, d.Width());
  }
}

// A step has its value written on it where there is room.
void PaintLevels(const Drawing& d, const std::vector<QuietLevel>& levels) {
  const ImU32 ink = Ink(d.look.colours.quiet);
  const ImFont* font = d.look.fonts.small;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const QuietLevel& level = levels[i];
    const float y = d.YAt(level.level);
    d.list->AddLine({level.left, y}, {level.right, y}, ink, d.Width());
    if (i > 0) d.list->AddLine({level.left, d.YAt(levels[i - 1].level)}, {level.left, y}, ink, d.Width());
    const std::string text = fmt::format("{:.4g}", level.value);
    const float width = d.look.script->Size(font, text).x;
    if (width + d.look.Px(8) > level.right - level.left) continue;
    const float top = d.row.top + std::round((d.row.bottom - d.row.top - font->FontSize) / 2);
    const float x = level.left + d.look.Px(4);
    d.list->AddRectFilled({x - d.look.Px(2), d.row.top}, {x + width + d.look.Px(2), d.row.bottom},
                          Ink(d.look.colours.sheet, 0.85));
    d.look.script->Draw(d.list, font, {x, top}, Ink(d.look.colours.text), text);
  }
}

// "pupil 6.4 mm  (4 to 7)": what it is at the playhead, and the scale.
std::string QuietWords(const QuietSeries& series, const QuietLayout& layout, double seconds) {
  std::string words = series.name + (series.set ? ", set" : "");
  if (layout.columns.empty() && layout.levels.empty()) return words + "  nothing known";
  if (series.whole) return words;
  const auto value = QuietValueAt(series, seconds);
  words += value ? "  " + QuietValueText(series, *value) : "  not known here";
  return words + fmt::format("   scale {:.3g} to {:.3g}{}{}", layout.lowest, layout.highest,
                             value || series.unit.empty() ? "" : " ", value ? "" : series.unit);
}

}  // namespace

void PaintQuietLine(const Scene& scene, ImDrawList* list, const QuietSeries& series, const Strip& strip,
                    RowSpan row) {
  const Drawing d{scene.look, list, row};
  const QuietLayout layout = LayOutQuietLine(series, strip);
  list->PushClipRect({strip.left, row.top}, {strip.right, row.bottom}, true);
  for (const float share : layout.rules)
    list->AddLine({strip.left, d.YAt(share)}, {strip.right, d.YAt(share)}, Ink(scene.look.colours.rule));
  PaintColumns(d, layout.columns);
  PaintLevels(d, layout.levels);
  // At the end that is farther from the playhead: what is looked at stays free.
  const double now = scene.Seconds(scene.player.playhead());
  const std::string words = QuietWords(series, layout, now);
  const ImFont* font = d.look.fonts.small;
  const float width = d.look.script->Size(font, words).x + d.look.Px(8);
  const bool at_left = strip.XAt(now) > (strip.left + strip.right) / 2;
  const float x = at_left ? strip.left : strip.right - width;
  list->AddRectFilled({x, row.top}, {x + width, row.bottom}, Ink(d.look.colours.sheet, 0.9));
  d.look.script->Draw(
      list, font,
      {std::round(x + d.look.Px(4)), row.top + std::round((row.bottom - row.top - font->FontSize) / 2)},
      Ink(d.look.colours.quiet), words);
  list->PopClipRect();
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/chart/chart.hpp"
#include "app/desktop/look/look.hpp"

#include <cstddef>
#include <optional>

namespace afterscope {

// A chart of the reports on the screen: scaled as a whole, in the window's colours.
struct ChartView {
  float left = 0;  // of the chart's (0, 0), in pixels of the screen
  float top = 0;
  float scale = 1;  // pixels for a point

  ImVec2 At(ChartPoint point) const {
    return {left + static_cast<float>(point.x) * scale, top + static_cast<float>(point.y) * scale};
  }
};

// How many pixels a point has so that the chart's letters are those of the window.
float ChartScale(const Look& look);

// The measure's point whose dot is nearest to the place, within `reach` pixels; empty: none. Pure.
std::optional<std::size_t> PointUnder(const Chart& chart, const ChartView& view, float x, float y,
                                      float reach);

// No ink is the only sign of anything (chart.hpp).
Rgb ScreenColour(const Palette& colours, ChartInk ink);
// chosen: the point that is ringed.
void PaintChart(const Look& look, ImDrawList* list, const Chart& chart, const ChartView& view,
                std::optional<std::size_t> chosen);

}  // namespace afterscope

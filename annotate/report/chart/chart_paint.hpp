// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/overlay/theme.hpp"
#include "annotate/report/chart/chart.hpp"
#include "annotate/report/pdf/typesetter.hpp"

#include <string>

namespace afterscope {

// Ink on white paper, from the openly published colour-blind-safe set; no ink is the only sign.
Rgb PaperColor(ChartInk ink);

// On a page, with the chart's top left corner at (x, y).
void PaintChart(cairo_t* cairo, Typesetter& typesetter, const Chart& chart, double x, double y);

// As an SVG element for an HTML page, its words as title.
std::string SvgFromChart(const Chart& chart);

}  // namespace afterscope

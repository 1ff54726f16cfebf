// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/furniture.hpp"

namespace afterscope {

// The overlap of rhexis and lens unrolled by clock hour, 12 o'clock in the middle of the left and right end:
// a band of the states, above it the millimetres with their limits where there are any, below it what the
// line styles mean.
struct CoverMap {
  double height = 0;
  std::function<void(cairo_t*, double x, double y)> draw;
};
CoverMap MakeCoverMap(PdfBook& book, const RhexisPanel& panel, double width);

}  // namespace afterscope

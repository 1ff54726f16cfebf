// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/hatching.hpp"

#include <cairo.h>

#include <cmath>

namespace afterscope {

void Hatch(cairo_t* cairo, OutRect rect) {
  constexpr double kStep = 3.2;
  cairo_save(cairo);
  cairo_rectangle(cairo, rect.x, rect.y, rect.width, rect.height);
  cairo_clip(cairo);
  cairo_set_line_width(cairo, 0.7);
  // Lines start on a grid of the page, so that neighbours continue each other.
  for (double x = kStep * std::floor((rect.x - rect.height) / kStep); x < rect.x + rect.width; x += kStep) {
    cairo_move_to(cairo, x, rect.y + rect.height);
    cairo_line_to(cairo, x + rect.height, rect.y);
  }
  cairo_stroke(cairo);
  cairo_restore(cairo);
}

}  // namespace afterscope

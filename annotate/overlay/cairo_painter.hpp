// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/overlay/shape.hpp"
#include "metrics/picture/shown_picture.hpp"

typedef struct _cairo cairo_t;

namespace afterscope {

struct PaintOptions {
  double unit_per_pt = 1;  // output units in a point of 1/72 inch
  bool casing = true;      // a dark rim under lines and letters
};

// Paints shapes in order. Nothing is clipped; the caller's clip, if any, holds. A shape with a position that
// is not finite is left out.
void PaintShapes(cairo_t* cairo, const ShapeList& shapes, const OutFromSq& out_from_sq,
                 const PaintOptions& options);

}  // namespace afterscope

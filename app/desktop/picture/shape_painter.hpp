// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/overlay/shape.hpp"
#include "app/desktop/look/look.hpp"
#include "metrics/picture/shown_picture.hpp"

namespace afterscope {

// Paints the shapes of a frame over the picture, in order: the window's counterpart of the Cairo painter,
// same colours, widths and line styles.
void PaintShapes(const Look& look, ImDrawList* list, const ShapeList& shapes,
                 const OutFromSq& screen_from_sq);

}  // namespace afterscope

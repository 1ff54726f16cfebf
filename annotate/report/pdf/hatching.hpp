// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/picture/shown_picture.hpp"

typedef struct _cairo cairo_t;

namespace afterscope {

// Slanted thin lines over a rectangle, in the current colour: what the supervisor did.
void Hatch(cairo_t* cairo, OutRect rect);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/picture/rgb_image.hpp"

#include <cairo.h>

namespace afterscope {

// What was drawn on an image surface of 32-bit pixels (CAIRO_FORMAT_RGB24 or ARGB32: red, green and blue in
// the lower three bytes of a number), without its opacity.
RgbImage ImageOf(cairo_surface_t* surface);

}  // namespace afterscope

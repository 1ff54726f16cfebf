// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_view.hpp"

namespace afterscope {

// A square of the picture round the pointer, seen nearer.
struct Magnified {
  ScreenRect area;
  ScreenFromShown placed;
};

// `side`: of its square, in pixels of the screen. It is three times as near as the picture, but not nearer
// than 16 screen pixels for one of the picture unless the picture is. What lies under the pointer stays under
// it; the square keeps within `picture_area`.
Magnified MagnifiedAt(const ScreenFromShown& placed, float x, float y, float side,
                      const ScreenRect& picture_area);

}  // namespace afterscope

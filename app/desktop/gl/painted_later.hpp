// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/picture_painter.hpp"

#include <imgui.h>

namespace afterscope {

// A picture that is painted among what ImGui draws.
struct PaintedLater {
  PicturePainter* painter = nullptr;
  ScreenFromShown placed;
  ScreenRect area;
};

// Has it painted when ImGui renders the list: over what the list holds already and under what comes after.
// `order` and its painter must stay where they are until then.
void PaintLater(ImDrawList* list, PaintedLater& order);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/look.hpp"
#include "app/desktop/picture/picture_view.hpp"

#include <imgui.h>

#include <string>

namespace afterscope {

// One line of words on a ground of its own, in the upper left corner of what lies there.
void PaintPlate(const Look& look, ImDrawList* list, const ScreenRect& area, const std::string& words);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/look.hpp"
#include "app/desktop/picture/picture_view.hpp"

#include <imgui.h>

#include <string>

namespace afterscope {

// Words on a ground of their own, in the upper left corner of what lies there; broken where it is narrow.
void PaintPlate(const Look& look, ImDrawList* list, const ScreenRect& area, const std::string& words);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_view.hpp"

namespace afterscope {

inline constexpr float kBottomLineHeight = 28;

// A part of the window at a fixed place, until ImGui::End. opaque: on the ground of sheets; else the picture
// below is seen.
void BeginPart(const char* name, const ScreenRect& area, bool opaque, bool padded);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_panel.hpp"

namespace afterscope {

// The magnifier under the pointer, where it is wished for: picture and drawings again, nearer. The picture is
// painted when ImGui is rendered, so state and painter must outlive that.
void DrawMagnifier(PictureState& state, const Scene& scene, PicturePainter& painter, const ScreenRect& area);

}  // namespace afterscope

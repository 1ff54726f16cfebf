// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_look.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

namespace afterscope {

// Exposure, contrast, local contrast and deinterlacing as sliders and words, at the top right of the picture,
// each with its keys. Nothing where the controls are not open.
void DrawPictureControls(PictureLook& picture, const Scene& scene, const ScreenRect& area);

}  // namespace afterscope

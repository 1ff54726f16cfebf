// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

namespace afterscope {

// Every action of the key map with its keys, over the picture, in as many columns as there is room for.
void DrawKeyList(const Scene& scene, const ScreenRect& picture);

}  // namespace afterscope

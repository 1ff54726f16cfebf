// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/player/play_choice.hpp"
#include "app/desktop/scene.hpp"

namespace afterscope {

// The line between picture and timeline: play, the time, the frame, the speed; which step runs and whose it
// is; and how the picture is looked at.
void DrawClockLine(const Scene& scene, const PictureView& picture, const PlayChoice& choice,
                   const ScreenRect& area);

}  // namespace afterscope

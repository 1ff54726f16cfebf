// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/follow/following.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

namespace afterscope {

// Over the picture that a tip is looked for on just now: where it probably is, and when that is. Nothing else
// is drawn or marked there, which would belong to the frame on which the player rests.
void DrawLiveTip(const LiveTip& live, const Scene& scene, const PictureView& view, const ScreenRect& area);

// The followed tip of the shown frame: a closed ring where it is believed and a broken one with a question
// mark where it is not, and the way it came over the last second.
void DrawFollowedTip(const Followed& followed, const Scene& scene, const PictureView& view,
                     const ScreenRect& area);

}  // namespace afterscope

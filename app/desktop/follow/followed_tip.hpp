// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/follow/following.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

namespace afterscope {

// Over the picture, in the window that is being drawn: the followed tip of the shown frame, a closed ring
// where it is believed and a broken one with a question mark where it is not, and the way it came over the
// last second. With `live` instead where it is looked for on that picture just now.
void DrawFollowedTip(const Followed& followed, const std::optional<LiveTip>& live, const Scene& scene,
                     const PictureView& view, const ScreenRect& area);

}  // namespace afterscope

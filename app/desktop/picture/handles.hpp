// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_panel.hpp"

#include <vector>

namespace afterscope {

// The points that can be taken hold of on that frame. Pure.
std::vector<Handle> HandlesOn(const Review& review, FrameRef at);

// The one nearest to a place on the screen, no farther than `reach` pixels.
std::optional<Handle> HandleNear(const std::vector<Handle>& handles, const ShownPicture& shown,
                                 const ScreenFromShown& placed, double x, double y, double reach);

// The review with a handle moved to where it is held.
Review WithHandleMoved(const Review& review, const Handle& held, FrameRef at);

}  // namespace afterscope

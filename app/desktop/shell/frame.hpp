// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/app.hpp"

namespace afterscope {

// One picture of the window, whatever made the context: the operating system's window, or a test without any.
// ImGui with its OpenGL backend must be set up.

// Loads fonts and style again where they changed; before ImGui's frame begins.
void FollowLook(App& app);
// Draws the app into the current framebuffer of that size; between ImGui's frame having begun and its being
// shown.
void DrawFrame(App& app, const GlApi& gl, int width, int height);

}  // namespace afterscope

#version 330 core
// SPDX-License-Identifier: Apache-2.0
// Places the four corners of a picture. Corners come from app/desktop/gl/picture_painter.cpp.
layout(location = 0) in vec2 clip;      // corner on the target, -1 to 1
layout(location = 1) in vec2 corner_px; // the same corner in pixels of the picture, from its top left corner
out vec2 at_px;

void main() {
  at_px = corner_px;
  gl_Position = vec4(clip, 0.0, 1.0);
}

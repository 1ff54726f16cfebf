#version 330 core
// SPDX-License-Identifier: Apache-2.0
// Fits the second field of one plane to the first. CPU twin: Deinterlaced in metrics/picture/deinterlace.cpp.
out vec4 value;

uniform sampler2D plane;
uniform int kept;  // 0 or 1: lines with that remainder by two stay as they are

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  int rows = textureSize(plane, 0).y;
  float own = texelFetch(plane, at, 0).r;
  if (at.y % 2 == kept) {
    value = vec4(own);
    return;
  }
  float above = texelFetch(plane, ivec2(at.x, at.y > 0 ? at.y - 1 : min(1, rows - 1)), 0).r;
  float below = texelFetch(plane, ivec2(at.x, at.y + 1 < rows ? at.y + 1 : max(0, at.y - 1)), 0).r;
  value = vec4(clamp(own, min(above, below), max(above, below)));
}

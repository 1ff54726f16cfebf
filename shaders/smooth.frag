#version 330 core
// SPDX-License-Identifier: Apache-2.0
// Smooths a small grid along rows or columns. CPU twin: LocalMeanOf in metrics/picture/local_mean.cpp.
out vec4 value;

uniform sampler2D cells;
uniform vec2 along;  // (1, 0): rows; (0, 1): columns
uniform float weights[5];

float at(ivec2 cell) {
  return texelFetch(cells, clamp(cell, ivec2(0), textureSize(cells, 0) - 1), 0).r;
}

void main() {
  ivec2 cell = ivec2(gl_FragCoord.xy);
  ivec2 one = ivec2(along);
  float sum = weights[0] * at(cell);
  for (int k = 1; k < 5; ++k) sum += weights[k] * (at(cell - k * one) + at(cell + k * one));
  value = vec4(sum);
}

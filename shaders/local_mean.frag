#version 330 core
// SPDX-License-Identifier: Apache-2.0
// The mean of luma in each cell of a small grid. CPU twin: LocalMeanOf in metrics/picture/local_mean.cpp.
out vec4 value;

uniform sampler2D luma;
uniform vec2 grid;  // columns and rows of the target

const int kSamples = 4;

void main() {
  vec2 cell = floor(gl_FragCoord.xy);
  float sum = 0.0;
  for (int j = 0; j < kSamples; ++j)
    for (int i = 0; i < kSamples; ++i)
      sum += texture(luma, (cell + (vec2(i, j) + 0.5) / float(kSamples)) / grid).r;
  value = vec4(sum / float(kSamples * kSamples));
}

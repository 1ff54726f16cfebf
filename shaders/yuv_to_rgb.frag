#version 330 core
// SPDX-License-Identifier: Apache-2.0
// A YUV picture as RGB, made clearer on wish. CPU twins: ToRgb in metrics/picture/yuv_to_rgb.cpp, which also says
// where chroma lies, and ToClearRgb in metrics/picture/clarity.cpp.
in vec2 at_px;  // from the top left corner of the picture, in its pixels
out vec4 colour;

uniform sampler2D luma;
uniform sampler2D blue;
uniform sampler2D red;
uniform vec2 luma_size;
uniform vec2 chroma_size;
uniform vec2 chroma_step;   // luma pixels from one chroma sample to the next
uniform vec2 chroma_first;  // luma pixels from the first luma sample to the first chroma sample
uniform mat3 rgb_from_yuv;
uniform vec3 offset;
uniform bool whole_pixels;  // near enough that pixels are seen: each in one colour
uniform sampler2D local_mean;  // of luma
uniform float local_contrast;
uniform float gain;
uniform float contrast;

vec3 yuv_at(vec2 px) {
  vec2 chroma = (px - 0.5 - chroma_first) / chroma_step + 0.5;
  return vec3(texture(luma, px / luma_size).r, texture(blue, chroma / chroma_size).r, texture(red, chroma / chroma_size).r);
}

void main() {
  vec2 px = whole_pixels ? floor(at_px) + 0.5 : at_px;
  vec3 yuv = yuv_at(px);
  vec3 rgb = rgb_from_yuv * yuv + offset;
  if (local_contrast != 0.0) {
    float above = rgb_from_yuv[0][0] * (yuv.x - texture(local_mean, px / luma_size).r);
    rgb += local_contrast * above / (1.0 + 4.0 * abs(above));
  }
  rgb = (gain * rgb - 0.5) * contrast + 0.5;
  colour = vec4(clamp(rgb, 0.0, 1.0), 1.0);
}

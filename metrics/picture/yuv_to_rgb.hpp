// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/picture/rgb_image.hpp"

#include <array>

namespace afterscope {

// rgb = matrix * yuv + offset, rgb in 0 to 1 before clamping. yuv are stored samples divided by the largest
// value that their storage can hold (255, or 65535 for samples of 10 bits in 16), which is what a GL texture
// gives. Coefficients: Kr, Kb of ITU-R BT.601-7 (0.299, 0.114), BT.709-6 (0.2126, 0.0722), BT.2020-2
// non-constant luminance (0.2627, 0.0593); limited range: black 16 << (bits - 8), white 235 << (bits - 8),
// chroma 128 +- 112 << (bits - 8); full range: 0 to 2^bits - 1, chroma round 2^(bits - 1).
struct YuvToRgb {
  std::array<float, 9> matrix{};  // by rows
  std::array<float, 3> offset{};

  std::array<float, 3> Apply(const std::array<float, 3>& yuv) const;
};

// Red, green, blue in 0 to 1 (clamped) as three bytes, rounded to nearest.
void StoreRgb(const std::array<float, 3>& rgb, std::uint8_t* out);

// bits: 8 or 10.
YuvToRgb YuvToRgbFor(ColorMatrix matrix, ColorRange range, int bits);
YuvToRgb YuvToRgbFor(const Picture& picture);

// The shares of red and blue in luma: ITU-R BT.601-7, BT.709-6, BT.2020-2.
struct LumaWeights {
  double kr = 0, kb = 0;
};
LumaWeights LumaWeightsOf(ColorMatrix matrix);

// Where the chroma samples lie, as an offset in luma pixels from the first luma sample to the first chroma
// sample: halved horizontally: co-sited with even columns (0); halved vertically: between two rows (0.5).
// That is the default of H.264 and HEVC (chroma sample type 0) and of MPEG-2; the Picture does not say
// otherwise.
struct ChromaSite {
  double step_x = 1, step_y = 1;  // luma pixels from one chroma sample to the next
  double first_x = 0, first_y = 0;
};
ChromaSite ChromaSiteOf(PixelFormat format);

// The picture as it is stored (no rotation, no pixel aspect), chroma interpolated linearly between its
// samples and repeated at the edges, rounded to nearest. The CPU twin of shaders/yuv_to_rgb.frag. Empty for
// an empty picture.
RgbImage ToRgb(const Picture& picture);

// The same, no larger than the given box (proportions of the shown picture kept, never enlarged), turned and
// in square pixels: for small pictures. Averages what falls into a pixel.
RgbImage ToSmallRgb(const Picture& picture, int most_width, int most_height);

// The picture as it is shown: square pixels (see ShownSize), then turned clockwise by its rotation.
RgbImage ToShownRgb(const Picture& picture);

}  // namespace afterscope

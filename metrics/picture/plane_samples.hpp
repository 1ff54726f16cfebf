// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace afterscope {

// A plane whose samples are read one by one as a GL texture gives them: divided by the largest value that
// their storage can hold, repeated beyond its edges, linear between them. The plane must stay alive.
struct PlaneSamples {
  const PlaneView& plane;
  bool wide;  // 16 bits a sample

  float At(int x, int y) const {
    const std::ptrdiff_t column = std::clamp(x, 0, plane.width - 1);
    const std::uint8_t* row = plane.data + std::clamp(y, 0, plane.height - 1) * plane.stride;
    if (!wide) return static_cast<float>(row[column]) / 255.0F;
    const int value = row[2 * column] | (row[2 * column + 1] << 8);
    return static_cast<float>(value) / 65535.0F;
  }

  // (0, 0): the centre of the first sample.
  float Between(double x, double y) const {
    const int left = static_cast<int>(std::floor(x));
    const int top = static_cast<int>(std::floor(y));
    const auto fx = static_cast<float>(x - left);
    const auto fy = static_cast<float>(y - top);
    const float upper = At(left, top) * (1 - fx) + At(left + 1, top) * fx;
    if (fy == 0) return upper;
    const float lower = At(left, top + 1) * (1 - fx) + At(left + 1, top + 1) * fx;
    return upper * (1 - fy) + lower * fy;
  }
};

// The three samples of a pixel, chroma interpolated to where the luma sample lies. A picture without chroma
// has none (0). The picture must stay alive.
class PixelSamples {
 public:
  explicit PixelSamples(const Picture& picture)
      : site_(ChromaSiteOf(picture.format)),
        gray_(picture.plane_count() == 1),
        luma_{picture.planes[0], picture.bytes_per_sample() == 2},
        blue_{picture.planes[gray_ ? 0 : 1], luma_.wide},
        red_{picture.planes[gray_ ? 0 : 2], luma_.wide} {}

  std::array<float, 3> At(int x, int y) const {
    if (gray_) return {luma_.At(x, y), 0, 0};
    const double chroma_x = (x - site_.first_x) / site_.step_x;
    const double chroma_y = (y - site_.first_y) / site_.step_y;
    return {luma_.At(x, y), blue_.Between(chroma_x, chroma_y), red_.Between(chroma_x, chroma_y)};
  }
  // Between pixels, luma interpolated too; (0, 0): the centre of the first pixel.
  std::array<float, 3> Between(double x, double y) const {
    const float luma = luma_.Between(x, y);
    if (gray_) return {luma, 0, 0};
    const double chroma_x = (x - site_.first_x) / site_.step_x;
    const double chroma_y = (y - site_.first_y) / site_.step_y;
    return {luma, blue_.Between(chroma_x, chroma_y), red_.Between(chroma_x, chroma_y)};
  }

 private:
  ChromaSite site_;
  bool gray_;
  PlaneSamples luma_;
  PlaneSamples blue_;
  PlaneSamples red_;
};

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace afterscope {

// Red, green, blue, 8 bits each, rows from top to bottom without padding.
struct RgbImage {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> pixels;  // width * height * 3

  bool empty() const { return pixels.empty(); }
  std::array<std::uint8_t, 3> At(int x, int y) const {
    const std::size_t i =
        (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)) * 3;
    return {pixels[i], pixels[i + 1], pixels[i + 2]};
  }
};

}  // namespace afterscope

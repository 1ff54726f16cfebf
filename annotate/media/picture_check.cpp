// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/picture_check.hpp"

#include <array>
#include <bit>
#include <cstring>

namespace afterscope {
namespace {

constexpr std::uint64_t kMultiplier = 0x9E3779B97F4A7C15ULL;  // odd; 2^64 divided by the golden ratio

std::uint64_t Mix(std::uint64_t state, std::uint64_t word) {
  return std::rotl((state ^ word) * kMultiplier, 29);
}

// Four lanes side by side keep the multiplier busy.
struct Lanes {
  std::array<std::uint64_t, 4> state{1, 2, 3, 4};

  void Row(const std::uint8_t* row, std::size_t bytes) {
    std::array<std::uint64_t, 4> words{};
    while (bytes >= sizeof words) {
      std::memcpy(words.data(), row, sizeof words);
      Take(words);
      row += sizeof words;
      bytes -= sizeof words;
    }
    if (bytes == 0) return;
    words = {};
    std::memcpy(words.data(), row, bytes);
    Take(words);
  }
  void Take(const std::array<std::uint64_t, 4>& words) {
    for (std::size_t i = 0; i < 4; ++i) state[i] = Mix(state[i], words[i]);
  }
};

}  // namespace

std::uint64_t PictureCheck(const Picture& picture) {
  Lanes lanes;
  lanes.Take({static_cast<std::uint64_t>(picture.width), static_cast<std::uint64_t>(picture.height),
              static_cast<std::uint64_t>(picture.format), 0});
  for (int i = 0; i < picture.plane_count(); ++i) {
    const PlaneView& plane = picture.planes[static_cast<std::size_t>(i)];
    const auto row_bytes =
        static_cast<std::size_t>(plane.width) * static_cast<std::size_t>(picture.bytes_per_sample());
    for (int y = 0; y < plane.height; ++y) lanes.Row(plane.data + y * plane.stride, row_bytes);
  }
  std::uint64_t check = 0;
  for (const std::uint64_t state : lanes.state) check = Mix(check, state);
  return check == 0 ? 1 : check;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/square_picture.hpp"

#include <catch2/catch.hpp>

#include <vector>

namespace afterscope {

// The first field shows a ramp of 10 a line of the picture, the other one is white.
TEST_CASE("Of an interlaced picture the first field's lines stay where they are, and the picture as it is",
          "[follow]") {
  constexpr int kWidth = 8, kHeight = 20;
  const bool bottom = GENERATE(false, true);
  std::vector<std::uint8_t> bytes;
  for (int y = 0; y < kHeight; ++y)
    bytes.insert(bytes.end(), kWidth, static_cast<std::uint8_t>(y % 2 == (bottom ? 1 : 0) ? 10 * y : 255));
  const std::vector<std::uint8_t> before = bytes;
  Picture picture;
  picture.width = kWidth, picture.height = kHeight, picture.format = PixelFormat::kGray8;
  picture.fields = bottom ? FieldOrder::kBottomFirst : FieldOrder::kTopFirst;
  picture.planes[0] = {bytes.data(), kWidth, kWidth, kHeight};
  const cv::Mat square = SquareLightness(picture);
  CHECK(bytes == before);
  REQUIRE(square.rows == kHeight);
  for (int y = 1; y + 1 < kHeight; ++y) CHECK(int(square.at<std::uint8_t>(y, 3)) == 10 * y);
}

}  // namespace afterscope

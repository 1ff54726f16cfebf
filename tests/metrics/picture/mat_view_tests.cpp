// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/mat_view.hpp"
#include "metrics/picture/rgb_image.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <catch2/catch.hpp>

#include <vector>

namespace afterscope {
namespace {

Picture Flat(PixelFormat format, std::vector<std::uint8_t>& bytes, int y, int u, int v) {
  Picture p;
  p.width = 6, p.height = 4, p.format = format;
  const int wide = p.bytes_per_sample();
  bytes = std::vector<std::uint8_t>(3 * 6 * 4 * 2);
  std::uint8_t* at = bytes.data();
  for (int i = 0; i < 3; ++i) {
    const int w = i ? ChromaWidth(format, 6) : 6, h = i ? ChromaHeight(format, 4) : 4,
              value = i == 0   ? y
                      : i == 1 ? u
                               : v;
    p.planes[static_cast<std::size_t>(i)] = {at, w * wide, w, h};
    for (int k = 0; k < w * h; ++k, at += wide) {
      at[0] = static_cast<std::uint8_t>(value & 255);
      if (wide == 2) at[1] = static_cast<std::uint8_t>(value >> 8);
    }
  }
  return p;
}

}  // namespace

TEST_CASE("Half pictures have the colours of the exact conversion") {
  std::vector<std::uint8_t> bytes;
  const Picture p =
      Flat(GENERATE(PixelFormat::kYuv420, PixelFormat::kYuv422, PixelFormat::kYuv444), bytes, 120, 100, 170);
  const cv::Mat half = HalfBgrOf(p);
  REQUIRE(half.size() == cv::Size(3, 2));
  const auto exact = ToRgb(p).At(2, 2);
  const auto bgr = half.at<cv::Vec3b>(1, 1);
  for (int k = 0; k < 3; ++k) CHECK(std::abs(int(bgr[2 - k]) - int(exact[static_cast<std::size_t>(k)])) <= 1);
}

TEST_CASE("Lightness is the first plane, ten bits narrowed to eight") {
  std::vector<std::uint8_t> bytes;
  CHECK(LightnessOf(Flat(PixelFormat::kYuv420, bytes, 77, 1, 2)).at<std::uint8_t>(3, 5) == 77);
  CHECK(LightnessOf(Flat(PixelFormat::kYuv420P10, bytes, 400, 1, 2)).at<std::uint8_t>(3, 5) == 100);
  CHECK(LightnessOf({}).empty());
  CHECK(HalfBgrOf({}).empty());
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/gl/picture_painter.hpp"
#include "metrics/picture/clarity.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"
#include "tests/app/desktop/gl/offscreen_support.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <random>

namespace afterscope {
namespace {

// Smooth luma with noise and coloured noise, rows padded so that the stride matters; values also beyond black
// and white.
Picture Noise(PixelFormat format, int width, int height, unsigned seed) {
  Picture picture;
  picture.width = width;
  picture.height = height;
  picture.format = format;
  const int bytes = picture.bytes_per_sample();
  auto memory = std::make_shared<std::vector<std::uint8_t>>(
      static_cast<std::size_t>(4 * (width + 16) * height * bytes));
  std::mt19937 random(seed);
  std::size_t used = 0;
  for (int i = 0; i < picture.plane_count(); ++i) {
    auto& plane = picture.planes[static_cast<std::size_t>(i)];
    plane.width = i == 0 ? width : ChromaWidth(format, width);
    plane.height = i == 0 ? height : ChromaHeight(format, height);
    plane.stride = (plane.width + 5) * bytes;
    plane.data = memory->data() + used;
    for (std::ptrdiff_t n = 0; n < plane.stride / bytes * plane.height; ++n) {
      const unsigned value = random() % (bytes == 2 ? 1024 : 256);
      (*memory)[used++] = static_cast<std::uint8_t>(value & 255);
      if (bytes == 2) (*memory)[used++] = static_cast<std::uint8_t>(value >> 8);
    }
  }
  picture.owner = memory;
  return picture;
}

int LargestDifference(const RgbImage& a, const RgbImage& b) {
  REQUIRE(a.width == b.width);
  REQUIRE(a.height == b.height);
  int most = 0;
  for (std::size_t i = 0; i < a.pixels.size(); ++i)
    most = std::max(most, std::abs(a.pixels[i] - b.pixels[i]));
  return most;
}

// White noise is the hardest case: a texture unit places samples between texels with 8 bits of fraction
// (OpenGL 3.3, 3.8.8, leaves the precision to the driver), so a step of 255 in chroma may be off by 255 / 512
// * 1.86 (the largest factor, blue from Cb in BT.2020, times 255 / 224) = 1 level before both sides round: 3
// levels in all.
constexpr int kTolerance = 3;

}  // namespace

TEST_CASE("The shader shows what its CPU twin computes", "[gl]") {
  constexpr int kWidth = 67;  // odd, so that chroma planes are rounded up
  constexpr int kHeight = 45;
  auto offscreen = Offscreen::Make(kWidth, kHeight);
  REQUIRE(offscreen);
  auto painter = PicturePainter::Make(offscreen->gl());
  if (!painter) FAIL(painter.error().message);
  const ScreenRect all{0, 0, kWidth, kHeight};
  unsigned seed = 0;
  for (const auto format :
       {PixelFormat::kGray8, PixelFormat::kYuv420, PixelFormat::kYuv422, PixelFormat::kYuv444,
        PixelFormat::kYuv420P10, PixelFormat::kYuv422P10, PixelFormat::kYuv444P10})
    for (const auto matrix : {ColorMatrix::kBt601, ColorMatrix::kBt709, ColorMatrix::kBt2020})
      for (const auto range : {ColorRange::kLimited, ColorRange::kFull}) {
        Picture picture = Noise(format, kWidth, kHeight, ++seed);
        picture.matrix = matrix;
        picture.range = range;
        painter->SetPicture(picture);
        painter->Paint({1, 0, 0}, all, kWidth, kHeight);
        INFO("format " << static_cast<int>(format) << " matrix " << static_cast<int>(matrix) << " range "
                       << static_cast<int>(range));
        CHECK(LargestDifference(offscreen->Read(), ToRgb(picture)) <= kTolerance);
      }
}

TEST_CASE("The shaders make a picture clearer as their CPU twin does", "[gl]") {
  constexpr int kWidth = 131;
  constexpr int kHeight = 77;
  auto offscreen = Offscreen::Make(kWidth, kHeight);
  REQUIRE(offscreen);
  auto painter = PicturePainter::Make(offscreen->gl());
  if (!painter) FAIL(painter.error().message);
  unsigned seed = 100;
  for (const auto format : {PixelFormat::kGray8, PixelFormat::kYuv420, PixelFormat::kYuv422P10})
    for (const auto fields : {FieldOrder::kProgressive, FieldOrder::kTopFirst, FieldOrder::kBottomFirst})
      for (const Clarity& clarity :
           {Clarity{}, Clarity{Deinterlacing::kAlways, 0, 1, 0}, Clarity{Deinterlacing::kNever, 0.7, 1.2, 0},
            Clarity{Deinterlacing::kNever, 0, 1, 1}, Clarity{Deinterlacing::kAsRecorded, -0.5, 0.8, 0.6}}) {
        Picture picture = Noise(format, kWidth, kHeight, ++seed);
        picture.fields = fields;
        painter->SetClarity(clarity);
        painter->SetPicture(picture);
        painter->Paint({1, 0, 0}, {0, 0, kWidth, kHeight}, kWidth, kHeight);
        INFO("format " << static_cast<int>(format) << " fields " << static_cast<int>(fields) << " exposure "
                       << clarity.exposure_stops << " local " << clarity.local_contrast);
        // Gain, contrast and local contrast (2 at most in all) widen the differences of the untouched
        // picture.
        CHECK(LargestDifference(offscreen->Read(), ToClearRgb(picture, clarity)) <= 2 * kTolerance);
      }
}

TEST_CASE("A change of clarity shows on the same picture", "[gl]") {
  auto offscreen = Offscreen::Make(32, 32);
  REQUIRE(offscreen);
  auto painter = PicturePainter::Make(offscreen->gl());
  REQUIRE(painter);
  const Picture picture = Noise(PixelFormat::kYuv444, 32, 32, 5);
  const auto painted = [&](const Clarity& clarity) {
    painter->SetClarity(clarity);
    painter->SetPicture(picture);
    painter->Paint({1, 0, 0}, {0, 0, 32, 32}, 32, 32);
    return offscreen->Read();
  };
  const RgbImage before = painted({});
  CHECK(LargestDifference(painted({Deinterlacing::kNever, 2, 1, 0}), before) > 50);
  CHECK(painted({}).pixels == before.pixels);
}

TEST_CASE("A turned picture is painted as its CPU twin turns it", "[gl]") {
  constexpr int kWidth = 40;
  constexpr int kHeight = 24;
  for (const int turn : {0, 90, 180, 270}) {
    const bool swaps = turn % 180 != 0;
    const int width = swaps ? kHeight : kWidth;
    const int height = swaps ? kWidth : kHeight;
    auto offscreen = Offscreen::Make(width, height);
    REQUIRE(offscreen);
    auto painter = PicturePainter::Make(offscreen->gl());
    REQUIRE(painter);
    Picture picture = Noise(PixelFormat::kYuv420, kWidth, kHeight, 7);
    picture.rotation_deg = turn;
    painter->SetPicture(picture);
    painter->Paint({1, 0, 0}, {0, 0, static_cast<float>(width), static_cast<float>(height)}, width, height);
    INFO("turned by " << turn);
    CHECK(LargestDifference(offscreen->Read(), ToShownRgb(picture)) <= kTolerance);
  }
}

TEST_CASE("Seen from near, every pixel is one square of one colour", "[gl]") {
  auto offscreen = Offscreen::Make(64, 64);
  REQUIRE(offscreen);
  auto painter = PicturePainter::Make(offscreen->gl());
  REQUIRE(painter);
  const Picture picture = Noise(PixelFormat::kYuv444, 8, 8, 3);
  painter->SetPicture(picture);
  painter->Paint({8, 0, 0}, {0, 0, 64, 64}, 64, 64);
  const RgbImage near = offscreen->Read();
  const RgbImage pixels = ToRgb(picture);
  for (int y = 0; y < 64; ++y)
    for (int x = 0; x < 64; ++x)
      for (std::size_t c = 0; c < 3; ++c)
        REQUIRE(std::abs(near.At(x, y)[c] - pixels.At(x / 8, y / 8)[c]) <= 1);
}

}  // namespace afterscope

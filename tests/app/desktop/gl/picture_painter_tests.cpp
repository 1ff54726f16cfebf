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

TEST_CASE("Seen from far, what is painted is the mean of the pixels behind it", "[gl]") {
  // Luma and chroma rise along both ways, so that a picture painted half a pixel off shows.
  constexpr int kWidth = 160;
  constexpr int kHeight = 96;
  const auto format = GENERATE(PixelFormat::kYuv420, PixelFormat::kYuv422P10, PixelFormat::kYuv444);
  const auto halvings = GENERATE(1, 2);
  Picture picture = Noise(format, kWidth, kHeight, 11);
  const int deep = picture.bytes_per_sample() == 2 ? 4 : 1;
  for (std::size_t i = 0; i < 3; ++i) {
    auto& plane = picture.planes[i];
    const int across = kWidth / plane.width;
    const int down = kHeight / plane.height;
    for (int y = 0; y < plane.height; ++y)
      for (int x = 0; x < plane.width; ++x) {
        const int value = deep * (i == 1 ? 200 - across * x / 2 : 60 + across * x / 2 + down * y / 2);
        auto* at = const_cast<std::uint8_t*>(plane.data) + y * plane.stride + x * picture.bytes_per_sample();
        *at = static_cast<std::uint8_t>(value & 255);
        if (deep > 1) at[1] = static_cast<std::uint8_t>(value >> 8);
      }
  }
  const int block = 1 << halvings;
  const int width = kWidth / block;
  const int height = kHeight / block;
  auto offscreen = Offscreen::Make(width, height);
  REQUIRE(offscreen);
  auto painter = PicturePainter::Make(offscreen->gl());
  REQUIRE(painter);
  painter->SetPicture(picture);
  painter->Paint({1.0 / block, 0, 0}, {0, 0, static_cast<float>(width), static_cast<float>(height)}, width,
                 height);
  const RgbImage far = offscreen->Read();
  const RgbImage whole = ToRgb(picture);
  for (int y = 1; y + 1 < height; ++y)
    for (int x = 1; x + 1 < width; ++x)
      for (std::size_t c = 0; c < 3; ++c) {
        int sum = 0;
        for (int j = 0; j < block; ++j)
          for (int i = 0; i < block; ++i) sum += whole.At(block * x + i, block * y + j)[c];
        INFO("column " << x << " row " << y);
        REQUIRE(std::abs(far.At(x, y)[c] - sum / (block * block)) <= kTolerance);
      }
}

TEST_CASE("From far, from near and from far again, each time it is this picture", "[gl]") {
  auto offscreen = Offscreen::Make(32, 32);
  REQUIRE(offscreen);
  auto painter = PicturePainter::Make(offscreen->gl());
  REQUIRE(painter);
  const auto painted = [&](double scale) {
    painter->Paint({scale, 0, 0}, {0, 0, 32, 32}, 32, 32);
    return offscreen->Read();
  };
  painter->SetClarity({Deinterlacing::kAlways, 0, 1, 0.5});
  painter->SetPicture(Noise(PixelFormat::kYuv444, 64, 64, 21));
  const RgbImage far = painted(0.5);
  const RgbImage near = painted(1);
  CHECK(painted(0.5).pixels == far.pixels);
  CHECK(painted(1).pixels == near.pixels);
  painter->SetPicture(Noise(PixelFormat::kYuv444, 64, 64, 22));
  const RgbImage other = painted(0.5);
  CHECK(other.pixels != far.pixels);
  CHECK(painted(1).pixels != near.pixels);
  painter->SetClarity({Deinterlacing::kNever, 0, 1, 0.5});
  CHECK(painted(0.5).pixels != other.pixels);
}

}  // namespace afterscope

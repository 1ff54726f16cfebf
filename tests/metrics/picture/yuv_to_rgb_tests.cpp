// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/shown_picture.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

// A picture of flat planes with its own memory.
Picture Flat(PixelFormat format, int width, int height, int y, int u, int v) {
  Picture picture;
  picture.width = width;
  picture.height = height;
  picture.format = format;
  const int bytes = picture.bytes_per_sample();
  auto memory = std::make_shared<std::vector<std::uint8_t>>();
  const int levels[3] = {y, u, v};
  std::size_t starts[3] = {};
  for (int i = 0; i < picture.plane_count(); ++i) {
    auto& plane = picture.planes[static_cast<std::size_t>(i)];
    plane.width = i == 0 ? width : ChromaWidth(format, width);
    plane.height = i == 0 ? height : ChromaHeight(format, height);
    plane.stride = plane.width * bytes;
    starts[i] = memory->size();
    for (int n = 0; n < plane.width * plane.height; ++n) {
      memory->push_back(static_cast<std::uint8_t>(levels[i] & 255));
      if (bytes == 2) memory->push_back(static_cast<std::uint8_t>(levels[i] >> 8));
    }
  }
  for (int i = 0; i < picture.plane_count(); ++i)
    picture.planes[static_cast<std::size_t>(i)].data = memory->data() + starts[i];
  picture.owner = memory;
  return picture;
}

std::array<int, 3> Colour(Picture picture, ColorMatrix matrix, ColorRange range) {
  picture.matrix = matrix;
  picture.range = range;
  const auto rgb = ToRgb(picture).At(0, 0);
  return {rgb[0], rgb[1], rgb[2]};
}

void CheckNear(std::array<int, 3> got, std::array<int, 3> wanted, int within) {
  for (std::size_t i = 0; i < 3; ++i) {
    INFO("channel " << i << ": " << got[i] << " for " << wanted[i]);
    CHECK(std::abs(got[i] - wanted[i]) <= within);
  }
}

}  // namespace

// 75 % colour bars in limited range: the luma and colour-difference equations of ITU-R BT.601-7 (2.5.1),
// BT.709-6 (3.2, 3.3) and BT.2020-2 (table 4), worked by hand and rounded to 8 bits; the conversion back must
// give RGB 191 within rounding.
TEST_CASE("75 per cent bars come back from BT.601, 709 and 2020", "[picture]") {
  const auto bar = [](int y, int u, int v) { return Flat(PixelFormat::kYuv444, 2, 2, y, u, v); };
  CheckNear(Colour(bar(180, 128, 128), ColorMatrix::kBt601, ColorRange::kLimited), {191, 191, 191}, 1);
  // Red 0.75: Y = 16 + 219 * 0.75 Kr, Cb = 128 - 224 * 0.75 Kr / (2 (1 - Kb)), Cr = 128 + 224 * 0.75 / 2.
  CheckNear(Colour(bar(65, 100, 212), ColorMatrix::kBt601, ColorRange::kLimited), {191, 0, 0}, 2);
  CheckNear(Colour(bar(51, 109, 212), ColorMatrix::kBt709, ColorRange::kLimited), {191, 0, 0}, 2);
  CheckNear(Colour(bar(59, 105, 212), ColorMatrix::kBt2020, ColorRange::kLimited), {191, 0, 0}, 2);
  // Blue 0.75: Cb = 212, Cr = 128 - 224 * 0.75 Kb / (2 (1 - Kr)).
  CheckNear(Colour(bar(35, 212, 114), ColorMatrix::kBt601, ColorRange::kLimited), {0, 0, 191}, 2);
  CheckNear(Colour(bar(28, 212, 120), ColorMatrix::kBt709, ColorRange::kLimited), {0, 0, 191}, 2);
  CheckNear(Colour(bar(26, 212, 121), ColorMatrix::kBt2020, ColorRange::kLimited), {0, 0, 191}, 2);
}

// The factors printed with many decimals in textbooks and in JFIF 1.02 (7. Conversion to and from RGB): R = Y
// + 1.402 (Cr - 128), G = Y - 0.34414 (Cb - 128) - 0.71414 (Cr - 128), B = Y + 1.772 (Cb - 128).
TEST_CASE("Full range BT.601 has the factors of JFIF 1.02", "[picture]") {
  const YuvToRgb map = YuvToRgbFor(ColorMatrix::kBt601, ColorRange::kFull, 8);
  CHECK(map.matrix[0] == Approx(1.0));
  CHECK(map.matrix[2] == Approx(1.402));
  CHECK(map.matrix[4] == Approx(-0.34414).epsilon(1e-4));
  CHECK(map.matrix[5] == Approx(-0.71414).epsilon(1e-4));
  CHECK(map.matrix[7] == Approx(1.772));
}

// BT.709-6 item 4.6 and BT.2020-2 table 5: black 16 / 64, white 235 / 940, achromatic 128 / 512.
TEST_CASE("Black and white are where the standards put them", "[picture]") {
  const auto limited = ColorRange::kLimited;
  for (const auto matrix : {ColorMatrix::kBt601, ColorMatrix::kBt709, ColorMatrix::kBt2020}) {
    CheckNear(Colour(Flat(PixelFormat::kYuv420, 3, 3, 16, 128, 128), matrix, limited), {0, 0, 0}, 0);
    CheckNear(Colour(Flat(PixelFormat::kYuv420, 3, 3, 235, 128, 128), matrix, limited), {255, 255, 255}, 0);
    CheckNear(Colour(Flat(PixelFormat::kYuv420P10, 3, 3, 64, 512, 512), matrix, limited), {0, 0, 0}, 0);
    CheckNear(Colour(Flat(PixelFormat::kYuv422P10, 3, 3, 940, 512, 512), matrix, limited), {255, 255, 255},
              0);
    CheckNear(Colour(Flat(PixelFormat::kYuv444, 3, 3, 255, 128, 128), matrix, ColorRange::kFull),
              {255, 255, 255}, 0);
    CheckNear(Colour(Flat(PixelFormat::kYuv444P10, 3, 3, 1023, 512, 512), matrix, ColorRange::kFull),
              {255, 255, 255}, 0);
  }
  CheckNear(Colour(Flat(PixelFormat::kGray8, 3, 3, 235, 0, 0), ColorMatrix::kBt709, limited), {255, 255, 255},
            0);
  CheckNear(Colour(Flat(PixelFormat::kGray8, 3, 3, 100, 0, 0), ColorMatrix::kBt709, ColorRange::kFull),
            {100, 100, 100}, 0);
}

TEST_CASE("Levels beyond white and black are clamped, not wrapped", "[picture]") {
  // Green by hand: 255 / 219 * 239 - (0.21325 + 0.53291) * 127 = 183.5; red and blue far above 255.
  CheckNear(
      Colour(Flat(PixelFormat::kYuv420, 1, 1, 255, 255, 255), ColorMatrix::kBt709, ColorRange::kLimited),
      {255, 183, 255}, 1);
  CheckNear(Colour(Flat(PixelFormat::kYuv420, 1, 1, 0, 128, 128), ColorMatrix::kBt709, ColorRange::kLimited),
            {0, 0, 0}, 0);
}

// Chroma sample 0 lies on luma column 0 and between luma rows 0 and 1 (H.264 annex E, chroma_sample_loc_type
// 0).
TEST_CASE("Chroma is interpolated from where its samples lie", "[picture]") {
  Picture picture = Flat(PixelFormat::kYuv420, 4, 4, 128, 128, 128);
  picture.range = ColorRange::kFull;
  picture.matrix = ColorMatrix::kBt601;
  auto* v = const_cast<std::uint8_t*>(picture.planes[2].data);
  v[0] = v[2] = 128;  // left column
  v[1] = v[3] = 168;  // right column: +40 * 1.402 in red
  const RgbImage image = ToRgb(picture);
  CHECK(static_cast<int>(image.At(0, 0)[0]) == 128);
  CHECK(static_cast<int>(image.At(1, 0)[0]) == 156);  // half way
  CHECK(static_cast<int>(image.At(2, 0)[0]) == 184);
  CHECK(static_cast<int>(image.At(3, 3)[0]) == 184);  // repeated at the edge
  v[0] = v[1] = 128;                                  // now upper and lower
  v[2] = v[3] = 168;
  const RgbImage rows = ToRgb(picture);
  CHECK(static_cast<int>(rows.At(0, 0)[0]) == 128);
  CHECK(static_cast<int>(rows.At(0, 1)[0]) == 142);  // a quarter: 10 * 1.402
  CHECK(static_cast<int>(rows.At(0, 2)[0]) == 170);  // three quarters
  CHECK(static_cast<int>(rows.At(0, 3)[0]) == 184);
}

TEST_CASE("An empty picture gives an empty image", "[picture]") {
  CHECK(ToRgb({}).empty());
  CHECK(ToShownRgb({}).empty());
  CHECK(ToSmallRgb({}, 10, 10).empty());
}

TEST_CASE("A shown picture is turned clockwise and has square pixels", "[picture]") {
  Picture picture = Flat(PixelFormat::kGray8, 4, 2, 16, 0, 0);
  const_cast<std::uint8_t*>(picture.planes[0].data)[0] = 235;  // top left white
  picture.rotation_deg = 90;
  RgbImage image = ToShownRgb(picture);
  REQUIRE(image.width == 2);
  REQUIRE(image.height == 4);
  CHECK(static_cast<int>(image.At(1, 0)[0]) == 255);  // top right after a quarter turn clockwise
  picture.rotation_deg = 180;
  CHECK(static_cast<int>(ToShownRgb(picture).At(3, 1)[0]) == 255);
  picture.rotation_deg = 270;
  CHECK(static_cast<int>(ToShownRgb(picture).At(0, 3)[0]) == 255);
  picture.rotation_deg = 0;
  picture.pixel_aspect = {2, 1};
  CHECK(ToShownRgb(picture).width == 8);
  const RgbImage small = ToSmallRgb(picture, 4, 4);
  CHECK(small.width == 4);
  CHECK(small.height == 1);
}

TEST_CASE("Positions on the shown picture lead back to the pixel", "[picture]") {
  for (const int turn : {0, 90, 180, 270}) {
    const ShownPicture shown = ShownPicture::Of(720, 576, {16, 15}, turn);
    const PointPx back = shown.PxAt(shown.FromPx({100.25, 33.5}));
    CHECK(back.x == Approx(100.25));
    CHECK(back.y == Approx(33.5));
    const auto spot = shown.FromPx({-0.5, -0.5});  // the very corner
    const bool right = turn == 90 || turn == 180;
    const bool bottom = turn == 180 || turn == 270;
    CHECK(spot.x == Approx(right ? shown.Width() : 0).margin(1e-9));
    CHECK(spot.y == Approx(bottom ? shown.Height() : 0).margin(1e-9));
  }
}

}  // namespace afterscope

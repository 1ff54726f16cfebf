// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/covers.hpp"
#include "metrics/picture/fixed_text.hpp"
#include "metrics/picture/yuv_frame.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>

namespace afterscope {
namespace {

constexpr int kWidth = 640, kHeight = 360;

// A soft, moving scene with a hard-edged bar that moves, and what a recorder writes.
Picture Scene(int n, bool words) {
  const auto frame = std::make_shared<YuvFrame>(kWidth, kHeight, ColorMatrix::kBt709);
  cv::Mat y(kHeight, kWidth, CV_8UC1, frame->y.data());
  for (int j = 0; j < kHeight; ++j)
    for (int i = 0; i < kWidth; ++i)
      y.at<std::uint8_t>(j, i) =
          static_cast<std::uint8_t>(110 + 50 * std::sin((i + 3 * n) / 40.0) * std::cos((j - 2 * n) / 30.0));
  cv::line(y, {100 + 15 * n, 0}, {260 + 9 * n, kHeight}, 230, 6);
  if (words) {
    cv::putText(y, "OR 4  2031-02-03", {20, 40}, cv::FONT_HERSHEY_SIMPLEX, 0.7, 235, 2);
    cv::putText(y, cv::format("%02d:%02d:%02d", 10 + n / 7, (n * 13) % 60, (n * 29) % 60), {480, 340},
                cv::FONT_HERSHEY_SIMPLEX, 0.7, 235, 2);
  }
  return AsPicture(frame, {0, Pts{n}});
}

std::vector<TextArea> FoundIn(bool words) {
  FixedTextFinder finder;
  for (int n = 0; n < 24; ++n) finder.Add(Scene(n, words));
  return finder.Find();
}

bool Holds(const TextArea& area, double left, double top, double right, double bottom) {
  return area.corner.x <= left && area.corner.y <= top && area.opposite.x >= right &&
         area.opposite.y >= bottom;
}

}  // namespace

TEST_CASE("Burnt-in words and a running clock are found, a moving scene is not", "[fixed_text]") {
  const std::vector<TextArea> areas = FoundIn(true);
  REQUIRE(areas.size() == 2);
  CHECK(Holds(areas[0], 22, 26, 200, 40));
  CHECK(areas[0].opposite.y < 80);
  CHECK(Holds(areas[1], 482, 326, 570, 340));
  CHECK(areas[1].corner.x > 420);
  CHECK(FoundIn(false).empty());
  CHECK(FixedTextFinder().Find().empty());
}

// A white first letter before a white wall can't be seen there, but it can in other pictures.
TEST_CASE("A letter at the end of the words that is missed in one picture is covered with the others",
          "[fixed_text]") {
  FixedTextFinder finder;
  for (int n = 0; n < 24; ++n) {
    const auto frame = std::make_shared<YuvFrame>(kWidth, kHeight, ColorMatrix::kBt709);
    cv::Mat y(kHeight, kWidth, CV_8UC1, frame->y.data());
    y.setTo(110);
    if (n == 5) cv::rectangle(y, {0, 0}, {kWidth, 60}, 235, cv::FILLED);
    if (n == 5) cv::rectangle(y, {34, 0}, {kWidth, 60}, 60, cv::FILLED);
    cv::putText(y, "2031-02-03 10:15", {20, 40}, cv::FONT_HERSHEY_SIMPLEX, 0.7, 235, 2);
    finder.Add(AsPicture(frame, {0, Pts{n}}));
  }
  const std::vector<TextArea> areas = finder.Find();
  REQUIRE(areas.size() == 1);
  CHECK(Holds(areas[0], 20, 26, 225, 40));
}

TEST_CASE("In a scene that stands still the edges of what is filmed are not taken for words",
          "[fixed_text]") {
  // A pupil's edge, a wide instrument from the side, a bright drape: hard edges that never move, and words.
  const auto still = [](int n) {
    const auto frame = std::make_shared<YuvFrame>(kWidth, kHeight, ColorMatrix::kBt709);
    cv::Mat y(kHeight, kWidth, CV_8UC1, frame->y.data());
    y.setTo(110);
    cv::circle(y, {320, 190}, 110, 30, cv::FILLED);
    cv::rectangle(y, {380, 170}, {639, 215}, 200, cv::FILLED);
    cv::rectangle(y, {0, 300}, {639, 359}, 210, cv::FILLED);
    cv::putText(y, cv::format("2031-02-03 10:%02d", n), {20, 40}, cv::FONT_HERSHEY_SIMPLEX, 0.7, 235, 2);
    return AsPicture(frame, {0, Pts{n}});
  };
  FixedTextFinder finder;
  for (int n = 0; n < 24; ++n) finder.Add(still(n));
  const std::vector<TextArea> areas = finder.Find();
  REQUIRE(areas.size() == 1);
  CHECK(Holds(areas[0], 22, 26, 200, 40));
  CHECK(areas[0].opposite.y < 80);
  CHECK(areas[0].opposite.x < 320);
}

TEST_CASE("A cover fills whole blocks of chroma, whatever is under it", "[covers]") {
  const Picture scene = Scene(3, true);
  const CoverArea box{CoverShape::kBox, {21.2, 25.1}, {90.6, 44.4}};
  const Picture covered = Covered(scene, std::vector{box});
  const auto luma = [](const Picture& p, int x, int y) {
    return p.planes[0].data[p.planes[0].stride * y + x];
  };
  CHECK(luma(covered, 20, 24) == 16);  // the block that the corner lies in, from its first pixel on
  CHECK(luma(covered, 91, 45) == 16);
  CHECK(luma(covered, 19, 30) == luma(scene, 19, 30));
  CHECK(luma(covered, 92, 30) == luma(scene, 92, 30));
  CHECK(covered.planes[1].data[covered.planes[1].stride * 12 + 10] == 128);
  const CoverArea outside{CoverShape::kOutside, {100, 50}, {500, 300}};
  const Picture eye = Covered(scene, std::vector{outside});
  CHECK(luma(eye, 300, 175) == luma(scene, 300, 175));
  CHECK(luma(eye, 5, 5) == 16);
  CHECK(luma(eye, 105, 55) == 16);  // within the box, outside the ellipse
  CHECK(Covered(scene, {}).planes[0].data == scene.planes[0].data);
}

TEST_CASE("A picture drawn at its own size is itself, and colours survive another matrix", "[yuv_frame]") {
  const Picture scene = Scene(1, false);
  YuvFrame same(kWidth, kHeight, ColorMatrix::kBt709);
  DrawPicture(scene, {0, 0, kWidth, kHeight}, same);
  CHECK(std::equal(same.y.begin(), same.y.end(), scene.planes[0].data));
  // BT.601 colours brought to BT.709 give the same red, green and blue (both through yuv_to_rgb, which is
  // checked against the ITU's coefficients elsewhere).
  const auto colourful = std::make_shared<YuvFrame>(64, 64, ColorMatrix::kBt601);
  std::fill(colourful->y.begin(), colourful->y.end(), std::uint8_t{120});
  std::fill(colourful->u.begin(), colourful->u.end(), std::uint8_t{100});
  std::fill(colourful->v.begin(), colourful->v.end(), std::uint8_t{165});
  const auto changed = std::make_shared<YuvFrame>(64, 64, ColorMatrix::kBt709);
  DrawPicture(AsPicture(colourful, {}), {0, 0, 64, 64}, *changed);
  const auto before = ToRgb(AsPicture(colourful, {})).At(30, 30),
             after = ToRgb(AsPicture(changed, {})).At(30, 30);
  for (std::size_t c = 0; c < 3; ++c) CHECK(std::abs(before[c] - after[c]) <= 2);
}

// Rec. ITU-R BT.601-7, 2.5.3: black to white in 220 levels from 16 on, colour differences in 225 about 128.
TEST_CASE("A picture of full range is drawn in the limited one", "[yuv_frame]") {
  const auto bright = std::make_shared<YuvFrame>(64, 64, ColorMatrix::kBt709);
  std::fill(bright->y.begin(), bright->y.end(), std::uint8_t{255});
  std::fill(bright->u.begin(), bright->u.end(), std::uint8_t{255});
  std::fill(bright->v.begin(), bright->v.end(), std::uint8_t{0});
  Picture picture = AsPicture(bright, {});
  picture.range = ColorRange::kFull;
  YuvFrame drawn(64, 64, ColorMatrix::kBt709);
  DrawPicture(picture, {0, 0, 64, 64}, drawn);
  CHECK(drawn.y[32 * 64 + 32] == 235);
  CHECK(drawn.u[16 * 32 + 16] == 240);
  CHECK(drawn.v[16 * 32 + 16] == 16);
}

TEST_CASE("A layer is blended by its opacity", "[yuv_frame]") {
  YuvFrame frame(64, 64, ColorMatrix::kBt709);
  std::vector<std::uint32_t> layer(64 * 64, 0);
  for (std::size_t i = 0; i < 32 * 64; ++i) layer[i] = 0xFFFFFFFF;
  layer[40 * 64 + 10] = 0x80808080;  // half-transparent white
  BlendOver(layer, frame);
  CHECK(frame.y[5 * 64 + 5] == 235);
  CHECK(frame.y[50 * 64 + 5] == 16);
  CHECK(std::abs(frame.y[40 * 64 + 10] - 126) <= 1);
  CHECK(frame.u[2 * 32 + 2] == 128);
  Fade(0, frame);
  CHECK(frame.y[5 * 64 + 5] == 16);
}

}  // namespace afterscope

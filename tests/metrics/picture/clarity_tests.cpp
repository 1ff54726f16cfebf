// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/clarity.hpp"
#include "metrics/picture/deinterlace.hpp"
#include "metrics/picture/local_mean.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>
#include <functional>

namespace afterscope {
namespace {

Picture Gray(int width, int height, const std::function<int(int x, int y)>& value) {
  auto memory = std::make_shared<std::vector<std::uint8_t>>();
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) memory->push_back(static_cast<std::uint8_t>(value(x, y)));
  Picture picture;
  picture.width = width;
  picture.height = height;
  picture.format = PixelFormat::kGray8;
  picture.range = ColorRange::kFull;
  picture.planes[0] = {memory->data(), width, width, height};
  picture.owner = memory;
  return picture;
}

int At(const Picture& picture, int x, int y) {
  return picture.planes[0].data[y * picture.planes[0].stride + x];
}

}  // namespace

TEST_CASE("One stop more doubles the light of a display", "[clarity]") {
  // ITU-R BT.1886: light is the 2.4th power of what the display gets.
  const float gain = ClarityFactors::Of({Deinterlacing::kNever, 1, 1, 0}).gain;
  CHECK(std::pow(0.3 * gain, 2.4) == Approx(2 * std::pow(0.3, 2.4)));
  const float less = ClarityFactors::Of({Deinterlacing::kNever, -2, 1, 0}).gain;
  CHECK(std::pow(0.8 * less, 2.4) == Approx(std::pow(0.8, 2.4) / 4));
}

TEST_CASE("Contrast leaves middle grey and stretches the rest", "[clarity]") {
  const ClarityFactors factors = ClarityFactors::Of({Deinterlacing::kNever, 0, 1.5, 0});
  const auto rgb = factors.Apply({0.5F, 0.6F, 0.2F}, 0);
  CHECK(rgb[0] == Approx(0.5));
  CHECK(rgb[1] == Approx(0.65));
  CHECK(rgb[2] == Approx(0.05));
}

TEST_CASE("Untouched clarity is the picture itself", "[clarity]") {
  const Picture picture = Gray(40, 30, [](int x, int y) { return (x * 37 + y * 91) % 256; });
  CHECK(ToClearRgb(picture, {}).pixels == ToRgb(picture).pixels);
}

TEST_CASE("An even picture has no local contrast to add", "[clarity]") {
  const Picture picture = Gray(64, 48, [](int, int) { return 93; });
  CHECK(ToClearRgb(picture, {Deinterlacing::kNever, 0, 1, 2}).At(20, 20) ==
        std::array<std::uint8_t, 3>{93, 93, 93});
}

TEST_CASE("Local contrast sets a spot off from its neighbourhood", "[clarity]") {
  const Picture picture =
      Gray(240, 180, [](int x, int y) { return std::hypot(x - 120, y - 90) < 6 ? 120 : 90; });
  const RgbImage clear = ToClearRgb(picture, {Deinterlacing::kNever, 0, 1, 1});
  // A disc of radius 6 under a Gaussian of 4 pixels (two cells of 2) keeps 1 - exp(-36 / 32) of its 30 greys
  // in the mean, so 120 + (120 - 110.3) is left.
  CHECK(std::abs(clear.At(120, 90)[0] - 129.7) < 2);
  CHECK(int{clear.At(10, 10)[0]} == 90);
}

TEST_CASE("The neighbourhood is a Gaussian mean of cells", "[clarity]") {
  // Every cell is a square of one grey, so OpenCV's blur of those greys is the answer.
  const auto grey = [](int column, int row) { return (column * 53 + row * 29) % 200 + 20; };
  const Picture picture = Gray(120 * 8, 60 * 8, [&](int x, int y) { return grey(x / 8, y / 8); });
  cv::Mat cells(60, 120, CV_32F);
  for (int y = 0; y < 60; ++y)
    for (int x = 0; x < 120; ++x) cells.at<float>(y, x) = static_cast<float>(grey(x, y)) / 255;
  cv::Mat expected;
  cv::GaussianBlur(cells, expected, {9, 9}, 2, 2, cv::BORDER_REPLICATE);
  const LocalMean mean = LocalMeanOf(picture);
  REQUIRE(mean.columns == 120);
  REQUIRE(mean.rows == 60);
  for (int y = 0; y < 60; ++y)
    for (int x = 0; x < 120; ++x)
      REQUIRE(mean.cells[static_cast<std::size_t>(y * 120 + x)] ==
              Approx(expected.at<float>(y, x)).margin(1e-5));
}

TEST_CASE("What stands still keeps all its lines, what moved leaves no comb", "[clarity]") {
  // A ramp stands still; a bright bar has moved by 10 between the fields.
  const auto scene = [](int x, int y, int bar) { return x >= bar && x < bar + 12 ? 220 : 40 + y; };
  Picture picture = Gray(64, 40, [&](int x, int y) { return scene(x, y, y % 2 == 0 ? 20 : 30); });
  picture.fields = FieldOrder::kTopFirst;
  const Picture fitted = Deinterlaced(picture);
  for (int y = 0; y < 39; ++y) {
    CHECK(At(fitted, 5, y) == 40 + y);       // still
    CHECK(At(fitted, 22, y) == 220);         // the bar as the first field has it
    CHECK(At(fitted, 38, y) <= 40 + y + 1);  // and nothing of it where only the second field has it
  }
  picture.fields = FieldOrder::kBottomFirst;
  CHECK(At(Deinterlaced(picture), 38, 20) == 220);
}

TEST_CASE("Deinterlacing pictures of one line or none does no harm", "[clarity]") {
  CHECK(Deinterlaced(Picture{}).empty());
  CHECK(At(Deinterlaced(Gray(3, 1, [](int x, int) { return x; })), 2, 0) == 2);
  CHECK(LocalMeanOf(Picture{}).cells.empty());
  CHECK(ToClearRgb(Picture{}, {}).empty());
}

TEST_CASE("Clarity out of range is taken to the nearest that is in it", "[clarity]") {
  CHECK(WithinRange({Deinterlacing::kAlways, 99, 0, -1}) == Clarity{Deinterlacing::kAlways, 3, 0.5, 0});
  CHECK(WithinRange({Deinterlacing::kNever, NAN, NAN, NAN}) == Clarity{Deinterlacing::kNever, 0, 1, 0});
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
// Expected values are means worked out by hand.
#include "metrics/picture/shrink.hpp"

#include <catch2/catch.hpp>

#include <vector>

using namespace afterscope;

namespace {

template <class Sample>
Picture Yuv420(PixelFormat format, int width, int height, const std::vector<std::vector<Sample>>& planes) {
  Picture picture;
  picture.width = width;
  picture.height = height;
  picture.format = format;
  picture.frame = {3, {77}};
  picture.rotation_deg = 90;
  picture.pixel_aspect = {4, 3};
  for (std::size_t i = 0; i < planes.size(); ++i) {
    const int across = i == 0 ? width : ChromaWidth(format, width);
    const int down = i == 0 ? height : ChromaHeight(format, height);
    picture.planes[i] = {reinterpret_cast<const std::uint8_t*>(planes[i].data()),
                         static_cast<std::ptrdiff_t>(static_cast<std::size_t>(across) * sizeof(Sample)),
                         across, down};
  }
  return picture;
}

template <class Sample>
std::vector<int> Samples(const PlaneView& plane) {
  std::vector<int> all;
  for (int y = 0; y < plane.height; ++y)
    for (int x = 0; x < plane.width; ++x)
      all.push_back(reinterpret_cast<const Sample*>(plane.data + y * plane.stride)[x]);
  return all;
}

}  // namespace

TEST_CASE("A picture shrinks by means of blocks", "[shrink]") {
  const std::vector<std::vector<std::uint8_t>> planes{
      {0, 2, 10, 10, 4, 6, 10, 14, 1, 1, 0, 0, 1, 2, 0, 255}, {100, 101, 102, 104}, {1, 2, 3, 4}};
  const Picture small = ShrinkPicture(Yuv420(PixelFormat::kYuv420, 4, 4, planes), 2);
  CHECK(small.width == 2);
  CHECK(small.height == 2);
  CHECK(Samples<std::uint8_t>(small.planes[0]) == std::vector<int>{3, 11, 1, 64});
  CHECK(Samples<std::uint8_t>(small.planes[1]) == std::vector<int>{102});  // 101.75
  CHECK(Samples<std::uint8_t>(small.planes[2]) == std::vector<int>{3});    // 2.5
  CHECK(small.frame.pts.ticks == 77);
  CHECK(small.rotation_deg == 90);
  CHECK(small.pixel_aspect == Rational{4, 3});
}

TEST_CASE("Deep samples shrink as well", "[shrink]") {
  const std::vector<std::vector<std::uint16_t>> planes{{1023, 1021, 1000, 1000}, {512}, {513}};
  const Picture small = ShrinkPicture(Yuv420(PixelFormat::kYuv420P10, 2, 2, planes), 1);
  CHECK(Samples<std::uint16_t>(small.planes[0]) == std::vector<int>{1011});
  CHECK(Samples<std::uint16_t>(small.planes[1]) == std::vector<int>{512});
}

TEST_CASE("A picture that is narrow enough is copied, at odd sizes too", "[shrink]") {
  const std::vector<std::vector<std::uint8_t>> planes{
      {1, 2, 3, 4, 5, 6, 7, 8, 9}, {1, 2, 3, 4}, {5, 6, 7, 8}};
  const Picture picture = Yuv420(PixelFormat::kYuv420, 3, 3, planes);
  const Picture same = ShrinkPicture(picture, 3);
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(same.planes[i].data != picture.planes[i].data);
    CHECK(Samples<std::uint8_t>(same.planes[i]) == Samples<std::uint8_t>(picture.planes[i]));
  }
}

TEST_CASE("The blocks at the edge are smaller", "[shrink]") {
  const std::vector<std::vector<std::uint8_t>> planes{{10, 20, 30, 40, 50}};
  const Picture small = ShrinkPicture(Yuv420(PixelFormat::kGray8, 5, 1, planes), 3);
  CHECK(small.width == 3);
  CHECK(small.height == 1);
  CHECK(Samples<std::uint8_t>(small.planes[0]) == std::vector<int>{15, 35, 50});
}

TEST_CASE("Nothing shrinks to nothing", "[shrink]") {
  CHECK(ShrinkPicture({}, 10).empty());
  CHECK(ShrinkPicture(Yuv420<std::uint8_t>(PixelFormat::kGray8, 1, 1, {{1}}), 0).empty());
}

TEST_CASE("A plane is halved by means of four", "[shrink]") {
  const std::vector<std::uint8_t> even{0, 2, 10, 10, 9, 9, 9, 9, 4, 6, 10, 14, 9, 9, 9, 9};
  std::vector<std::uint8_t> memory;
  const PlaneView half = HalvePlane({even.data(), 8, 4, 2}, 1, memory);  // rows are 8 bytes apart
  CHECK(half.width == 2);
  CHECK(half.height == 1);
  CHECK(Samples<std::uint8_t>(half) == std::vector<int>{3, 11});
  const std::vector<std::uint16_t> deep{1023, 1021, 1000, 1000};
  const PlaneView one = HalvePlane({reinterpret_cast<const std::uint8_t*>(deep.data()), 4, 2, 2}, 2, memory);
  CHECK(Samples<std::uint16_t>(one) == std::vector<int>{1011});
}

TEST_CASE("A plane of odd size is halved to what spans the same area", "[shrink]") {
  const std::vector<std::uint8_t> odd{0, 60, 120};  // each result covers one sample and a half
  std::vector<std::uint8_t> memory;
  const PlaneView half = HalvePlane({odd.data(), 3, 3, 1}, 1, memory);
  CHECK(half.width == 2);
  CHECK(half.height == 1);
  CHECK(Samples<std::uint8_t>(half) == std::vector<int>{20, 100});
  CHECK(HalvePlane({}, 1, memory).data == nullptr);
}

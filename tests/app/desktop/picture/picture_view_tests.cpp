// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/picture_view.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {
const ShownPicture kHd{1920, 1080, 1, 0};
const ScreenRect kArea{10, 20, 970, 560};  // 960 by 540: half size
}  // namespace

TEST_CASE("A fitted picture is whole and in the middle", "[picture_view]") {
  const PictureView view;
  const auto placed = view.Placed(kHd, kArea);
  CHECK(placed.scale == Approx(0.5));
  CHECK(placed.X({0, 0}) == Approx(10));
  CHECK(placed.Y({0, 1080}) == Approx(560));
  const auto narrow = view.Placed(kHd, {0, 0, 960, 1000});
  CHECK(narrow.Y({0, 0}) == Approx((1000 - 540) / 2.0));
}

TEST_CASE("What lies under the pointer stays under it while zooming", "[picture_view]") {
  PictureView view;
  const auto before = view.Placed(kHd, kArea).ShownAt(300, 200);
  view.ZoomAt(3, 300, 200, kHd, kArea);
  const auto after = view.Placed(kHd, kArea).ShownAt(300, 200);
  CHECK(after.x == Approx(before.x));
  CHECK(after.y == Approx(before.y));
  CHECK(view.Placed(kHd, kArea).scale == Approx(1.5));
}

TEST_CASE("Zooming ends at the pixel and at the whole picture", "[picture_view]") {
  PictureView view;
  for (int i = 0; i < 40; ++i) view.ZoomAt(2, 400, 300, kHd, kArea);
  CHECK(view.Placed(kHd, kArea).scale == Approx(64));
  for (int i = 0; i < 40; ++i) view.ZoomAt(0.5, 400, 300, kHd, kArea);
  CHECK(view.fitted());
}

TEST_CASE("A panned picture never leaves its area", "[picture_view]") {
  PictureView view;
  view.ZoomAt(4, 490, 290, kHd, kArea);
  view.Pan(1e6F, -1e6F, kHd, kArea);
  const auto placed = view.Placed(kHd, kArea);
  CHECK(placed.X({0, 0}) <= kArea.right);
  CHECK(placed.Y({0, 1080}) >= kArea.top);
}

TEST_CASE("Without a picture or an area nothing breaks", "[picture_view]") {
  PictureView view;
  view.ZoomAt(2, 0, 0, {}, {});
  view.Pan(5, 5, {}, {});
  CHECK(view.Placed({}, {}).scale > 0);
}

}  // namespace afterscope

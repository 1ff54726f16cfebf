// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_views.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("A view comes nearer about a place and never shows what lies beyond the picture", "[clips]") {
  const ClipView whole;
  const ClipView twice = ZoomedView(whole, 2, 0.6, 0.5);
  CHECK(twice.zoom == 2);
  // The place stays where it was: a tenth of the frame right of its middle.
  CHECK((0.6 - twice.x) * twice.zoom == Approx(0.1));
  CHECK(ZoomedView(whole, 2, 0, 0).x == Approx(0.25));  // not beyond the left edge
  CHECK(ZoomedView(twice, 0.1, 0.6, 0.5) == whole);
  CHECK(ZoomedView(whole, 100, 0.5, 0.5).zoom == 16);
  CHECK(MovedView(twice, 10, 0).x == Approx(0.75));
  CHECK(MovedView(whole, 1, 1) == whole);
}

TEST_CASE("Which of a part's views is changed is chosen", "[clips]") {
  ClipPart part;
  const ClipView near{0.5, 0.5, 3};
  SetView(part, ViewEnd::kEnd, near);
  CHECK(part.view == ClipView());
  CHECK(part.view_at_end == near);
  CHECK(ViewOf(part, ViewEnd::kEnd) == near);
  SetView(part, ViewEnd::kBoth, near);
  CHECK(part.view == near);
  CHECK(NextViewEnd(NextViewEnd(NextViewEnd(ViewEnd::kBoth))) == ViewEnd::kBoth);
}

TEST_CASE("A place on the screen is found in the recording's picture, through zoom and black sides",
          "[clips]") {
  const ScreenRect frame = FrameWithin({0, 0, 1000, 500}, 1280, 720);
  CHECK(frame.Height() == Approx(500));
  CHECK(frame.left == Approx((1000 - 500 * 1280.0 / 720) / 2));
  const ShownPicture square = ShownPicture::Of(720, 720, {1, 1}, 0);
  const float middle_x = (frame.left + frame.right) / 2, middle_y = (frame.top + frame.bottom) / 2;
  const auto middle = ShareAt(middle_x, middle_y, frame, {}, square, 1280, 720);
  REQUIRE(middle);
  CHECK(middle->x == Approx(0.5));
  CHECK_FALSE(ShareAt(frame.left + 5, middle_y, frame, {}, square, 1280, 720));  // beside the square picture
  const auto near = ShareAt(middle_x, frame.top, frame, {0.5, 0.5, 4}, square, 1280, 720);
  REQUIRE(near);
  CHECK(near->y == Approx(0.5 - 0.125));
}

}  // namespace afterscope

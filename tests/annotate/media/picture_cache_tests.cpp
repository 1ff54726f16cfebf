// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/picture_cache.hpp"

#include <catch2/catch.hpp>

#include <memory>
#include <vector>

using namespace afterscope;

namespace {

// A gray picture of 100 bytes.
Picture GrayAt(std::int64_t ticks) {
  const auto pixels = std::make_shared<std::vector<std::uint8_t>>(100);
  Picture picture;
  picture.width = picture.height = 10;
  picture.format = PixelFormat::kGray8;
  picture.frame.pts = {ticks};
  picture.duration = {10};
  picture.planes[0] = {pixels->data(), 10, 10, 10};
  picture.owner = pixels;
  return picture;
}

PictureCache Filled(std::int64_t budget, std::int64_t focus, const std::vector<std::int64_t>& ticks) {
  PictureCache cache(budget);
  cache.SetFocus({focus});
  for (const std::int64_t at : ticks) cache.Put(GrayAt(at), 1, true);
  return cache;
}

}  // namespace

TEST_CASE("A cache stays within its budget and keeps what is nearest to the focus", "[media]") {
  PictureCache cache = Filled(500, 100, {0, 10, 90, 100, 110, 120, 300});
  CHECK(cache.bytes() == 500);
  CHECK_FALSE(cache.Has({0}));
  CHECK_FALSE(cache.Has({300}));
  for (const std::int64_t kept : {10, 90, 100, 110, 120}) CHECK(cache.Has({kept}));
  CHECK(cache.WouldKeep({80}));
  CHECK_FALSE(cache.WouldKeep({190}));  // as far as the farthest
  CHECK_FALSE(cache.Put(GrayAt(400), 1, true));
  cache.SetFocus({400});
  CHECK(cache.Put(GrayAt(400), 1, true));
  CHECK_FALSE(cache.Has({10}));
}

TEST_CASE("A smaller budget lets the farthest go at once", "[media]") {
  PictureCache cache = Filled(500, 100, {80, 90, 100, 110, 130});
  cache.SetBudget(300);
  CHECK(cache.bytes() == 300);
  CHECK_FALSE(cache.Has({80}));
  CHECK_FALSE(cache.Has({130}));
}

TEST_CASE("A budget smaller than a picture keeps one", "[media]") {
  const PictureCache cache = Filled(1, 0, {20, 10});
  CHECK(cache.Has({10}));
  CHECK_FALSE(cache.Has({20}));
}

TEST_CASE("A cached picture is shown within its duration where that is known", "[media]") {
  PictureCache cache(10'000);
  cache.Put(GrayAt(100), 1, false);
  CHECK(cache.At({100}));
  CHECK_FALSE(cache.At({105}));
  cache.SetDuration({100}, {7});
  CHECK(cache.At({106}));
  CHECK_FALSE(cache.At({107}));
  CHECK_FALSE(cache.At({99}));
  CHECK_FALSE(PictureCache(1).At({0}));
}

TEST_CASE("The nearest cached picture lies before or after", "[media]") {
  const PictureCache cache = Filled(10'000, 0, {0, 100});
  CHECK(cache.Nearest({-50})->frame.pts.ticks == 0);
  CHECK(cache.Nearest({50})->frame.pts.ticks == 0);
  CHECK(cache.Nearest({51})->frame.pts.ticks == 100);
  CHECK(cache.Nearest({900})->frame.pts.ticks == 100);
  CHECK_FALSE(PictureCache(1).Nearest({0}));
}

TEST_CASE("A review removes and corrects", "[media]") {
  PictureCache cache = Filled(10'000, 0, {0, 10, 20});
  cache.Review([](Picture& picture, std::uint64_t) {
    picture.damaged = true;
    return picture.frame.pts.ticks != 10;
  });
  CHECK(cache.bytes() == 200);
  CHECK_FALSE(cache.Has({10}));
  CHECK(cache.Exactly({20})->damaged);
}

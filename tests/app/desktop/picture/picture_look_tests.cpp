// SPDX-License-Identifier: Apache-2.0
#include "app/common/assets.hpp"
#include "app/desktop/key_map.hpp"
#include "app/desktop/picture/magnifier.hpp"
#include "app/desktop/picture/picture_look.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("Every key of the picture's look does something", "[picture]") {
  const auto keys = KeyMap::Load(AssetsFolder() + "/keys.json");
  REQUIRE(keys);
  for (const char* action :
       {"brighter", "darker", "more contrast", "less contrast", "more local contrast", "less local contrast",
        "deinterlace", "untouched picture", "picture as recorded", "picture controls", "magnifier"}) {
    INFO(action);
    CHECK_FALSE(keys->KeyFor(action).empty());
    PictureLook look;
    CHECK(DoPictureLook(look, action));
  }
  PictureLook look;
  CHECK_FALSE(DoPictureLook(look, "play"));
}

TEST_CASE("Brighter and darker again is as it was", "[picture]") {
  PictureLook look;
  for (int i = 0; i < 5; ++i) DoPictureLook(look, "brighter");
  CHECK(look.clarity.exposure_stops == 1.25);
  for (int i = 0; i < 5; ++i) DoPictureLook(look, "darker");
  CHECK(look.clarity == Clarity{});
  for (int i = 0; i < 99; ++i) DoPictureLook(look, "more local contrast");
  CHECK(look.clarity.local_contrast == 2);
}

TEST_CASE("The untouched picture is one key away and back", "[picture]") {
  PictureLook look;
  DoPictureLook(look, "brighter");
  DoPictureLook(look, "untouched picture");
  CHECK(LeavesColours(look.Shown()));
  CHECK(LookWords(look) == "untouched");
  DoPictureLook(look, "untouched picture");
  CHECK(look.Shown().exposure_stops == 0.25);
  CHECK(LookWords(look) == "exposure +0.25");
  DoPictureLook(look, "untouched picture");
  DoPictureLook(look, "brighter");  // asked for: it has to be seen
  CHECK(look.Shown().exposure_stops == 0.5);
}

TEST_CASE("The magnifier keeps what is under the pointer there", "[picture]") {
  const ScreenRect area{0, 0, 800, 600};
  const ScreenFromShown placed{0.5, 10, 20};
  for (const auto& [x, y] : {std::pair{400.0F, 300.0F}, {2.0F, 1.0F}, {799.0F, 599.0F}}) {
    const Magnified seen = MagnifiedAt(placed, x, y, 200, area);
    CHECK(seen.placed.scale == Approx(1.5));
    CHECK(seen.placed.ShownAt(x, y).x == Approx(placed.ShownAt(x, y).x));
    CHECK(seen.placed.ShownAt(x, y).y == Approx(placed.ShownAt(x, y).y));
    CHECK(seen.area.Contains(x, y));
    CHECK(seen.area.left >= 0);
    CHECK(seen.area.right <= 800);
    CHECK(seen.area.Width() == 200);
  }
  CHECK(MagnifiedAt({40, 0, 0}, 5, 5, 200, area).placed.scale == 40);  // never farther than the picture
}

}  // namespace afterscope

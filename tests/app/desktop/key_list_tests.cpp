// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/key_list.hpp"
#include "app/desktop/key_map.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

namespace afterscope {

TEST_CASE("Groups of keys stay whole and in order, in columns as low as can be", "[keys]") {
  CHECK(ColumnsOfGroups({3, 3, 3, 3}, 2) == std::vector<int>{0, 0, 1, 1});
  CHECK(ColumnsOfGroups({10, 1, 1}, 2) == std::vector<int>{0, 1, 1});
  CHECK(ColumnsOfGroups({2, 2, 2}, 1) == std::vector<int>{0, 0, 0});
  CHECK(ColumnsOfGroups({}, 3).empty());
  CHECK(ColumnsOfGroups({5}, 4) == std::vector<int>{0});
}

TEST_CASE("Every key that comes with the program stands in a group", "[keys]") {
  const auto map = KeyMap::Load(std::string(places::kAssets) + "/keys.json");
  REQUIRE(map);
  REQUIRE_FALSE(map->Lines().empty());
  CHECK_FALSE(map->Lines().front().heading.empty());
  const auto groups = std::count_if(map->Lines().begin(), map->Lines().end(),
                                    [](const KeyMap::Line& line) { return !line.heading.empty(); });
  CHECK(groups >= 8);
}

TEST_CASE("While a point is chosen its keys come first, and the others still hold", "[keys]") {
  const auto map = KeyMap::Parse(R"({"keys": {"next frame": ["Right"], "play": ["Space"]},
                                     "point_keys": {"point right": ["Right"]}})");
  REQUIRE(map);
  CHECK(map->ActionOf({"Right"}) == "next frame");
  CHECK(map->ActionWithPoint({"Right"}) == "point right");
  CHECK(map->ActionWithPoint({"Space"}) == "play");
  CHECK(map->KeyFor("point right") == "Right");
  CHECK(map->KeyFor("next frame") == "Right");
}

}  // namespace afterscope

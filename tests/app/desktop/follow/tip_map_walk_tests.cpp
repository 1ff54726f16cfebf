// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/follow/tip_map_walk.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

TipMap Map(const char* trail, const char* step, std::int64_t at) {
  TipMap map;
  map.trail = TrailId{trail};
  map.step = step;
  map.at = {0, Pts{at}};
  return map;
}

}  // namespace

TEST_CASE("Maps of a tip come from the step at the playhead on, one after another") {
  Review review;
  review.visits = {{VisitId{"v1"}, "rhexis", 0, {0, {0}}, FrameRef{0, {100}}, "", false},
                   {VisitId{"v2"}, "cortex", 0, {0, {100}}, FrameRef{0, {200}}, "", false}};
  const std::vector<TipMap> maps{Map("a", "rhexis", 50), Map("b", "rhexis", 50), Map("a", "cortex", 150)};
  const auto next = [&](const std::optional<TipMap>& last, std::int64_t at) {
    const TipMap& map = NextTipMap(maps, last, review, {0, Pts{at}});
    return map.trail.value + " " + map.step;
  };
  CHECK(next({}, 10) == "a rhexis");
  CHECK(next({}, 120) == "a cortex");
  CHECK(next({}, 300) == "a rhexis");      // no step there
  CHECK(next(maps[0], 50) == "b rhexis");  // the other trail, on the same frame
  CHECK(next(maps[1], 50) == "a cortex");
  CHECK(next(maps[2], 150) == "a rhexis");  // round again
  CHECK(next(maps[0], 120) == "a cortex");  // she went elsewhere meanwhile
}

}  // namespace afterscope

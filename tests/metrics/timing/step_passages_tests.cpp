// SPDX-License-Identifier: Apache-2.0
#include "metrics/timing/step_passages.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("Passages between steps are counted with their gaps", "[timing]") {
  const TimedVisit a{"a", "", {0, 10}, 0, false};
  const TimedVisit b{"b", "", {12, 20}, 0, false};
  const TimedVisit again{"a", "", {20, 25}, 0, false};
  // By hand: a-b twice (gap 2 each), b-a once (gap 0), ends after a once and after b once.
  const auto passages = PassagesBetween({{a, b, again}, {a, b}, {}});
  REQUIRE(passages.size() == 5);
  CHECK(passages[0].from.empty());
  CHECK(passages[0].to == "a");
  CHECK(passages[0].count == 2);
  CHECK(passages[0].share == 1);
  CHECK_FALSE(passages[0].gap_s);
  CHECK(passages[1].from == "a");
  CHECK(passages[1].to == "b");
  CHECK(passages[1].share == Approx(2.0 / 3));
  CHECK(passages[1].gap_s->median == 2);
  CHECK(passages[2].to.empty());
  CHECK(passages[4].from == "b");
  CHECK(PassagesBetween({}).empty());
}

TEST_CASE("A hand-over of the instruments inside a step is no passage", "[timing]") {
  const std::vector<TimedVisit> operation{{"rhexis", "t", {2, 5}, 0, false},
                                          {"rhexis", "s", {5, 7}, 0, true},
                                          {"rhexis", "t", {7, 9}, 0, false},
                                          {"rhexis", "t", {11.48, 18}, 0, false}};
  const auto passages = PassagesBetween({operation});
  REQUIRE(passages.size() == 3);  // begins, comes again once, ends
  CHECK(passages[1].from == "rhexis");
  CHECK(passages[1].count + passages[2].count == 2);
  const auto& again = passages[1].to.empty() ? passages[2] : passages[1];
  CHECK(again.count == 1);
  CHECK(again.share == 0.5);
  CHECK(again.gap_s->median == Approx(2.48));  // from the end of the first one's last part
}

}  // namespace afterscope

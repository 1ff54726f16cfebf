// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/play_count.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

// Ten ticks a frame.
void Look(PlayCount& count, std::int64_t index, bool exact) { count.Look({0, {index * 10}}, index, exact); }

}  // namespace

TEST_CASE("A picture counts as shown if it came while the playhead stood on its frame", "[player]") {
  PlayCount count;
  Look(count, 0, true);
  Look(count, 1, false);
  Look(count, 1, true);
  Look(count, 2, false);
  Look(count, 2, false);
  CHECK(count.shown() == 2);
  CHECK(count.late() == 0);  // it may still come
  Look(count, 3, true);
  CHECK(count.late() == 1);
  count.End();
  CHECK(count.shown() == 3);
  CHECK(count.passed_over() == 0);
}

TEST_CASE("Frames between two looks are passed over, in either direction", "[player]") {
  PlayCount count;
  Look(count, 5, true);
  Look(count, 9, true);
  Look(count, 7, true);
  CHECK(count.passed_over() == 3 + 1);
}

TEST_CASE("A pause or another recording is no gap", "[player]") {
  PlayCount count;
  Look(count, 5, true);
  count.End();
  Look(count, 500, true);
  count.Look({1, {0}}, 0, true);
  count.Look({1, {10}}, std::nullopt, true);
  count.Look({1, {90}}, 9, true);
  CHECK(count.passed_over() == 0);
  CHECK(count.shown() == 4);
}

}  // namespace afterscope

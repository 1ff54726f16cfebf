// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/frame_table.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameTable TableOf(const std::vector<std::int64_t>& ticks) {
  std::vector<FrameEntry> frames;
  for (const std::int64_t t : ticks) frames.push_back({Pts{t}, TickSpan{1}});
  return FrameTable(std::move(frames), {1, 90000}, TableState::kVerified);
}

}  // namespace

// 30000/1001 frames a second are 3003 ticks of 1/90000 s each (references: time base).
TEST_CASE("The usual distance of frames is the median, whatever is left out between", "[media]") {
  std::vector<std::int64_t> ticks;
  std::int64_t at = -500;
  for (int i = 0; i < 5000; ++i) ticks.push_back(at += i % 7 == 3 ? 2 * 3003 : i == 2500 ? 9'000'000 : 3003);
  CHECK(TableOf(ticks).UsualInterval() == TickSpan{3003});
  CHECK(TableOf({0, 3600, 7200}).UsualInterval() == TickSpan{3600});
}

TEST_CASE("Degenerate: fewer than two frames have no distance", "[media]") {
  CHECK(TableOf({}).UsualInterval() == TickSpan{0});
  CHECK(TableOf({42}).UsualInterval() == TickSpan{0});
}

}  // namespace afterscope

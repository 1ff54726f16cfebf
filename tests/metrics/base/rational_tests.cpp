// SPDX-License-Identifier: Apache-2.0
#include "metrics/base/rational.hpp"

#include <catch2/catch.hpp>

#include <limits>

namespace afterscope {

TEST_CASE("Rescaling rounds as told", "[base]") {
  // 1001 ticks of 1/30000 s in milliseconds: 33.3667.
  CHECK(RescaleTicks(1001, {1, 30000}, {1, 1000}, Rounding::kDown) == 33);
  CHECK(RescaleTicks(1001, {1, 30000}, {1, 1000}, Rounding::kUp) == 34);
  CHECK(RescaleTicks(1001, {1, 30000}, {1, 1000}, Rounding::kNearest) == 33);
  CHECK(RescaleTicks(-1001, {1, 30000}, {1, 1000}, Rounding::kDown) == -34);
  CHECK(RescaleTicks(-1001, {1, 30000}, {1, 1000}, Rounding::kUp) == -33);
  CHECK(RescaleTicks(1, {1, 2}, {1, 1}, Rounding::kNearest) == 1);
  CHECK(RescaleTicks(-1, {1, 2}, {1, 1}, Rounding::kNearest) == 0);
}

TEST_CASE("Rescaling at the extremes neither overflows nor lies", "[base]") {
  constexpr auto kMost = std::numeric_limits<std::int64_t>::max();
  constexpr auto kLeast = std::numeric_limits<std::int64_t>::min();
  CHECK(RescaleTicks(kMost, {1, 90000}, {1, 90000}, Rounding::kNearest) == kMost);
  CHECK(RescaleTicks(kLeast, {1, 90000}, {1, 90000}, Rounding::kDown) == kLeast);
  CHECK(RescaleTicks(kMost, {1, 1000}, {1, 90000}, Rounding::kNearest) == std::nullopt);
  CHECK(RescaleTicks(kMost, {kMost, 1}, {1, kMost}, Rounding::kNearest) == std::nullopt);
  CHECK(RescaleTicks(1, {0, 1}, {1, 1}, Rounding::kNearest) == std::nullopt);
  CHECK(RescaleTicks(1, {1, 1}, {1, 0}, Rounding::kNearest) == std::nullopt);
}

// Frame 1000 at 30000/1001 frames a second lies at 33.366667 s (SMPTE ST 12-1 arithmetic: n * 1001 / 30000).
TEST_CASE("NTSC frame times are exact in ticks", "[base]") {
  CHECK(RescaleTicks(1000, {1001, 30000}, {1, 30000}, Rounding::kNearest) == 1001000);
}

}  // namespace afterscope

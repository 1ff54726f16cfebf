// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/keep_now.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("Long work is put away every ten seconds, less often where that takes long", "[follow]") {
  using namespace std::chrono_literals;
  const KeepNow::Clock::time_point start{};
  KeepNow keep(start);
  CHECK_FALSE(keep.IsDue(start + 9s));
  REQUIRE(keep.IsDue(start + 10s));
  keep.Done(start + 10s + 100ms);
  CHECK_FALSE(keep.IsDue(start + 20s));
  REQUIRE(keep.IsDue(start + 21s));
  keep.Done(start + 23s);  // it took two seconds
  CHECK_FALSE(keep.IsDue(start + 62s));
  CHECK(keep.IsDue(start + 63s));
}

}  // namespace afterscope

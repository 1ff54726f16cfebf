// SPDX-License-Identifier: Apache-2.0
#include "app/common/case_time.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("Times with colons are times on the case clock, whatever their length", "[case_time]") {
  CHECK(ClockSeconds("12.5") == 12.5);
  CHECK(ClockSeconds("0:17") == 17);
  CHECK(ClockSeconds("75:00") == 4500);
  CHECK(ClockSeconds("0:17.25") == 17.25);
  CHECK(ClockSeconds("1:02:03") == 3723);
  CHECK(*ClockSeconds("1:02:03.4") == Approx(3723.4));
  for (const char* wrong : {"0:90000", "0:60", "0:7", "1:2:03", "1:60:00", "a:17", "0:", ":17", "0:1x", "t9",
                            "1:f3", "0:17.", "1:1:1:1"}) {
    INFO(wrong);
    CHECK_FALSE(ClockSeconds(wrong));
  }
  CHECK(TickText({1, Pts{90000}}) == "1:t90000");
}

}  // namespace afterscope

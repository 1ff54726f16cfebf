// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"

#include <catch2/catch.hpp>

#include <limits>

using namespace afterscope;

TEST_CASE("Clock times never show sixty seconds") {
  CHECK(FormatClock(0) == "0:00.00");
  CHECK(FormatClock(59.994) == "0:59.99");
  CHECK(FormatClock(59.996) == "1:00.00");
  CHECK(FormatClock(3599.999) == "1:00:00.00");
  CHECK(FormatClock(3723.4) == "1:02:03.40");
  CHECK(FormatClock(-1.5) == "\u22120:01.50");
  CHECK(FormatClock(-0.001) == "0:00.00");
  CHECK(FormatClock(std::numeric_limits<double>::quiet_NaN()) == "?");
}

TEST_CASE("Lengths under a minute are seconds") {
  CHECK(FormatLength(32.44) == "32.4\u00a0s");
  CHECK(FormatLength(59.96) == "1:00.0");
  CHECK(FormatLength(92.4) == "1:32.4");
}

TEST_CASE("A value has the decimals that its limits justify") {
  CHECK(FormatEstimate({5.3123, 5.12, 5.50, 0.95}, "mm").value == "5.31\u00a0mm");
  CHECK(FormatEstimate({41.23, 38.3, 44.1, 0.95}, "mm").value == "41.2\u00a0mm");
  CHECK(FormatEstimate({41.23, 31.3, 51.1, 0.95}, "mm").value == "41\u00a0mm");
  CHECK(FormatEstimate({0.9621, 0.951, 0.973, 0.95}, "1").value == "0.962");
  CHECK(FormatEstimate({-0.04, -0.2, 0.12, 0.95}, "mm").limits == "\u22120.20 to 0.12");
  CHECK(FormatEstimate({23, 19, 27, 0.95}, "count").value == "23");
  CHECK(FormatEstimate({-0.001, -0.2, 0.2, 0.95}, "mm").value == "0.00\u00a0mm");
}

TEST_CASE("Limits of a time that read alike are given with plus-minus") {
  const EstimateText text = FormatEstimate({974, 973.98, 974.02, 0.95}, "s");
  CHECK(text.value == "16:14.0");
  CHECK(text.limits == "±\u20090.020\u00a0s");
  CHECK(FormatEstimate({974, 974, 974, 0.95}, "s").limits.empty());
}

// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/script_text.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("A clock is cut, never rounded up", "[words]") {
  CHECK(ClockText(0, 2) == "0:00.00");
  CHECK(ClockText(59.999, 2) == "0:59.99");
  CHECK(ClockText(187.48, 2) == "3:07.48");
  CHECK(ClockText(3787.5, 0) == "1:03:07");
  CHECK(ClockText(-1, 1) == "0:00.0");
}

TEST_CASE("What a clock runs over is rounded, with carry", "[words]") {
  CHECK(TotalText(2.48, 1) == "0:02.5");
  CHECK(TotalText(59.96, 1) == "1:00.0");
  CHECK(TotalText(3599.96, 1) == "1:00:00.0");
}

TEST_CASE("A length of time reads as in reports", "[words]") {
  for (int i = 0; i < 1199; ++i) {  // frames of 20 a second: halves of the last digit among them
    const double seconds = 0.05 * i;
    std::string report = FormatLength(seconds);
    report.replace(report.find("\u00a0"), 2, " ");
    CHECK(LengthText(seconds) == report);
  }
}

TEST_CASE("Lengths and speeds are said shortly", "[words]") {
  CHECK(LengthText(48.26) == "48.3 s");
  CHECK(LengthText(2.48) == "2.5 s");
  CHECK(LengthText(59.94) == "59.9 s");
  CHECK(LengthText(59.96) == "1 min 00 s");
  CHECK(LengthText(187.4) == "3 min 07 s");
  CHECK(LengthText(187.6) == "3 min 08 s");
  CHECK(LengthText(3599.6) == "1 h 00 min");
  CHECK(LengthText(3780) == "1 h 03 min");
  CHECK(SpeedText(0.125) == "1/8 ×");
  CHECK(SpeedText(4) == "4 ×");
}

TEST_CASE("A value has the decimals that its limits justify", "[words]") {
  CHECK(ValueText(5.1234, 4.95, 5.30) == "5.12");
  CHECK(ValueText(0.91234, 0.9113, 0.9134) == "0.9123");
  CHECK(ValueText(1234.5, 1100, 1400) == "1234");
  CHECK(ValueText(3, 3, 3) == "3.00");
}

TEST_CASE("Scripts that need shaping are told from those that do not", "[words]") {
  CHECK(IsPlainScript("Rhexis – Kapselöffnung, капсула, κάψα → 5.1 ± 0.2 mm"));
  for (const char* text : {"ক্যাপসুল", "कैप्सूल", "المحفظة", "眼科", "e\xCC\x81", "\xff"})
    CHECK_FALSE(IsPlainScript(text));
  CHECK(IsPlainScript(""));
}

}  // namespace afterscope

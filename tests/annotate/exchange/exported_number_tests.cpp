// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/exported_number.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <cmath>
#include <limits>

namespace afterscope {

// What binary arithmetic makes of decimal fractions (IEEE 754): 0.1 + 0.2 is 0.30000000000000004.
TEST_CASE("Numbers leave the program without the noise of binary arithmetic", "[exchange]") {
  CHECK(ExportedText(0.1 + 0.2) == "0.3");
  CHECK(ExportedText(12.300000000000001) == "12.3");
  CHECK(ExportedText(9.968944271909999) == "9.968944272");
  CHECK(ExportedText(60.0) == "60");
  CHECK(ExportedText(-0.0) == "0");
  CHECK(ExportedText(1234567.125) == "1234567.125");
  CHECK(ExportedText(1.0 / 3) == "0.3333333333");
  CHECK(ExportedText(3.658263e-05) == "3.658263e-05");
  CHECK(ExportedText(std::nan("")).empty());
  CHECK(ExportedText(std::numeric_limits<double>::infinity()).empty());
  // Nine digits, as of certified values, are kept.
  CHECK(ExportedNumber(518.958716) == 518.958716);
  CHECK(ExportedNumber(std::numeric_limits<double>::max()) > 1e308);
  CHECK(ExportedNumber(std::numeric_limits<double>::denorm_min()) >= 0);
}

TEST_CASE("Numbers are rounded at any depth of JSON, whole ones and texts stay", "[exchange]") {
  const nlohmann::ordered_json json{{"a", 0.1 + 0.2},
                                    {"b", {1.0, 12.300000000000001, nullptr}},
                                    {"ticks", 9007199254740993LL},
                                    {"text", "0.30000000000000004"}};
  CHECK(ExportedText(json, -1) ==
        "{\"a\":0.3,\"b\":[1.0,12.3,null],\"ticks\":9007199254740993,\"text\":\"0.30000000000000004\"}\n");
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/finding_csv.hpp"
#include "annotate/exchange/finding_json.hpp"
#include "annotate/report/format.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

namespace afterscope {

TEST_CASE("A fact has a value and no limits, in JSON, CSV and the report", "[exchange]") {
  Finding fact, estimate;
  fact.name = estimate.name = "eye.followed_share";
  fact.measured = {Estimate::Fact(0.75), "1", "", {}};
  estimate.measured = {Estimate{0.75, 0.75, 0.75}, "1", "", {}};
  CHECK(JsonFromFinding(fact).at("value") == 0.75);
  for (const char* limit : {"low", "high", "level"}) {
    CHECK(JsonFromFinding(fact).at(limit).is_null());
    CHECK_FALSE(JsonFromFinding(estimate).at(limit).is_null());
  }
  CHECK(CsvFromFindings({fact}).find("eye.followed_share,0.75,1,,,,") != std::string::npos);
  CHECK(FormatEstimate(*fact.measured.estimate, "1").limits.empty());
  CHECK_FALSE(FormatEstimate(*estimate.measured.estimate, "1").limits.empty());
}

}  // namespace afterscope

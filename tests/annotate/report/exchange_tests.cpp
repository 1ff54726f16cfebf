// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/json_report.hpp"
#include "annotate/report/step_table.hpp"
#include "annotate/report/write_report.hpp"
#include "tests/annotate/report/report_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>

using namespace afterscope;

TEST_CASE("The JSON report gives findings with null for what can't be computed") {
  const auto json = nlohmann::json::parse(MakeJson(ModelOf(FullCase())));
  CHECK(json.at("case").at("case_code") == "C-0042");
  const auto& findings = json.at("findings");
  const auto plan = std::find_if(findings.begin(), findings.end(),
                                 [](const auto& f) { return f.at("name") == "rhexis.plan_difference"; });
  REQUIRE(plan != findings.end());
  CHECK(plan->at("value").is_null());
  CHECK(plan->at("cautions").at(0) == "No planned diameter is stated.");
  const auto largest = std::find_if(findings.begin(), findings.end(),
                                    [](const auto& f) { return f.at("name") == "rhexis.diameter_largest"; });
  CHECK(largest->at("value") == 5.31);
  CHECK(largest->at("frames").at(0).at("ticks") == 213400);
  CHECK(largest->at("marks").at(0) == "m3");
  CHECK(largest->at("scale") == "s1");
  CHECK(json.at("checks").at(2).at("state") == "not reviewed");
}

TEST_CASE("The JSON report stands text that is not UTF-8") {
  InventedCase made = FullCase();
  made.review.moments[1].text = "a\xff";
  const auto json = nlohmann::json::parse(MakeJson(ModelOf(made)));
  CHECK(json.at("moments").at(0).at("text") == "a\uFFFD");
}

TEST_CASE("The step table has a line a step and guards names") {
  InventedCase made = ThreeSteps();
  made.steps.steps[3].name = "=HYPERLINK(\"x\")";
  CHECK(MakeStepTable(ModelOf(made)) ==
        "step,name,own_visits,own_s,own_low_s,own_high_s,others_s,longest_s,first_start_s,recording,ticks,"
        "earlier_cases,"
        "earlier_median_s,earlier_shortest_s,earlier_longest_s\r\n"
        "side_port,Side port,1,14.000,13.960,14.040,0.000,14.000,10.000,0,10000,,,,\r\n"
        "rhexis,\"'=HYPERLINK(\"\"x\"\")\",1,91.000,90.960,91.040,0.000,91.000,40.000,0,40000,,,,\r\n"
        "lens,Lens,1,45.500,45.460,45.540,0.000,45.500,300.000,0,300000,,,,\r\n");
}

TEST_CASE("A report is written whole, or says why not") {
  const TemporaryFolder folder;
  const ReportModel model = ModelOf(ThreeSteps());
  for (const std::string name : {"r.pdf", "r.html", "r.json", "r.csv"}) {
    const auto format = ReportFormatOf(folder / name);
    REQUIRE(format);
    REQUIRE(WriteReport(model, *format, folder / name, {}).ok());
    const auto info = RealFileSystem().Stat(folder / name);
    CHECK(info->size > 100);
  }
  CHECK_FALSE(ReportFormatOf("r.docx"));
  const auto failed = WriteReport(model, ReportFormat::kJson, folder / "absent/r.json", {});
  REQUIRE_FALSE(failed.ok());
  CHECK(failed.error().code == ErrorCode::kUnwritable);
}

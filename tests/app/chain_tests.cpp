// SPDX-License-Identifier: Apache-2.0
// The whole chain by commands on a recording that nobody here made: open, tag, mark, measure, report, check.
#include "tests/support/places.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <string>

namespace afterscope {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

// A recording of Debian's opencv-doc package: 795 frames, 10 a second (says ffprobe).
const std::string kRecording = "/usr/share/doc/opencv-doc/examples/data/vtest.avi";

std::string Run(const std::string& arguments, int expected_status = 0) {
  int status = -1;
  const std::string out = OutputOf(fmt::format("2>&1 \"{}\" {}", places::kProgram, arguments), &status);
  INFO(arguments << "\n" << out);
  REQUIRE(status == expected_status);
  return out;
}

// n points on an ellipse, as the command takes them.
std::string Ellipse(double cx, double cy, double a, double b, int n) {
  std::string points;
  for (int i = 0; i < n; ++i) {
    const double t = 2 * std::numbers::pi * i / n;
    points += fmt::format(" {:.3f},{:.3f}", cx + a * std::cos(t), cy + b * std::sin(t));
  }
  return points;
}

json FindingNamed(const json& findings, const std::string& name, const std::string& step = {}) {
  for (const json& finding : findings)
    if (finding.at("name") == name && (step.empty() || finding.at("step") == step)) return finding;
  FAIL("no finding " << name);
  return {};
}

}  // namespace

TEST_CASE("From a recording that nobody here made to its report, by commands alone", "[chain]") {
  if (!fs::exists(kRecording)) {
    WARN("skipped: Debian's opencv-doc is not installed");
    return;
  }
  const TemporaryFolder fresh;
  const fs::path folder = fresh.path();
  const std::string kase = fresh / "case";
  Run(fmt::format(
      "new {} --recording {} --set code=C-1 --set eye=right --set operator_code=T1 "
      "--set step_list=phacoemulsification --set seat_clock_hour=12 --set corneal_diameter_mm=12.0",
      kase, kRecording));
  Run(fmt::format("tag {} --reviewer M1 --step rhexis --at 5.0 --to 12.5", kase));
  Run(fmt::format("tag {} --step lens --at f300 --to t450", kase));
  Run(fmt::format("tag {} --take-over f350", kase));
  Run(fmt::format("tag {} --return f400", kase));
  Run(fmt::format("tag {} --moment remark --at 20 --text 'Well centred'", kase));
  Run(fmt::format("tag {} --mark limbus --at f120 --points{}", kase, Ellipse(384, 288, 240, 220, 16)));
  Run(fmt::format("tag {} --mark rhexis --at f120 --points{}", kase, Ellipse(384, 288, 110, 99, 16)));

  SECTION("what was tagged is measured by arithmetic that needs no program") {
    const json findings = json::parse(Run(fmt::format("measure {} --json -", kase)));
    // 10 frames a second: 5.0 to 12.5 s; frames 300 to 450.
    CHECK(FindingNamed(findings, "time.step_total", "rhexis").at("value").get<double>() ==
          Approx(7.5).margin(1e-9));
    CHECK(FindingNamed(findings, "time.step_total", "lens").at("value").get<double>() ==
          Approx(15.0).margin(1e-9));
    // The limbus is 480 px wide and 12 mm: 0.025 mm a pixel; the rhexis 220 px across, 5.5 mm as seen.
    CHECK(FindingNamed(findings, "rhexis.diameter_largest.as_seen").at("value").get<double>() ==
          Approx(5.5).epsilon(0.015));
    // Ellipse with axes 1 : 0.9: 4 pi A / P^2 = 0.9958499, by the complete elliptic integral of the second
    // kind.
    CHECK(FindingNamed(findings, "rhexis.circularity").at("value").get<double>() ==
          Approx(0.99585).margin(0.004));
    CHECK(FindingNamed(findings, "rhexis.off_limbus").at("value").get<double>() == Approx(0.0).margin(0.03));
    for (const json& finding : findings)  // null has a reason, a value has its limits round it or is a fact
      if (finding.at("value").is_null()) {
        CHECK_FALSE(finding.at("cautions").empty());
      } else if (finding.at("name").get<std::string>().ends_with(".uncertain_share")) {
        CHECK(finding.at("low").is_null());
        CHECK(finding.at("level").is_null());
      } else {
        CHECK(finding.at("low").get<double>() <= finding.at("value").get<double>());
        CHECK(finding.at("value").get<double>() <= finding.at("high").get<double>());
      }
  }
  SECTION("the report has the words and the numbers, as text") {
    const std::string pdf = (folder / "report.pdf").string();
    Run(fmt::format("report {} -o {}", kase, pdf));
    const std::string text = OutputOf("pdftotext -layout " + pdf + " -");
    CHECK(text.find("Well centred") != std::string::npos);
    CHECK(text.find("Rhexis") != std::string::npos);
    CHECK(text.find("7.5") != std::string::npos);
    CHECK(OutputOf("pdffonts " + pdf + " | tail -n +3 | awk '{print $(NF-4)}' | sort -u") ==
          "yes\n");  // embedded
    Run(fmt::format("report {} -o {}/report.html", kase, folder.string()));
    Run(fmt::format("report {} -o {}/report.json", kase, folder.string()));
    CHECK(json::parse(std::ifstream(folder / "report.json")).is_object());
  }
  SECTION("undo takes back, redo does again, and the record is whole") {
    Run(fmt::format("tag {} --undo", kase));
    CHECK(Run(fmt::format("tag {} --list", kase)).find("rhexis") != std::string::npos);
    Run(fmt::format("tag {} --redo", kase));
    Run(fmt::format("check {}", kase));
  }
  SECTION("a call that makes no sense is refused and leaves the case as it was") {
    const std::string before = Run(fmt::format("tag {} --list --json", kase));
    Run(fmt::format("tag {} --step cortex --at 9000 --to 8000", kase), 2);
    Run(fmt::format("tag {} --mark rhexis --at f120 --points nan,1", kase), 2);
    CHECK(Run(fmt::format("tag {} --list --json", kase)) == before);
  }
  SECTION("output that can't be written is said, with its own exit status") {
    CHECK(Run(fmt::format("measure {} --json - > /dev/full", kase), 5).find("can't be printed") !=
          std::string::npos);
    Run(fmt::format("info {} --frames > /dev/full", kRecording), 5);
    Run(fmt::format("tag {} --list --json > /dev/full", kase), 5);
  }
}

}  // namespace afterscope

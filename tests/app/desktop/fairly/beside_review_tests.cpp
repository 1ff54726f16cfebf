// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/beside_review.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef At(std::int64_t ms) { return {0, Pts{ms}}; }

CaseClock MinuteClock() {
  std::vector<RecordingRef> recordings(1);
  recordings[0].shape.end = Pts{60000};
  return CaseClock(recordings);
}

StepList Steps() {
  StepList steps;
  steps.steps.push_back({});
  steps.steps.back().key = "rhexis";
  steps.steps.back().name = "Rhexis";
  return steps;
}

ReviewDifference Step(std::optional<FrameRef> first, double first_s, std::optional<FrameRef> second,
                      double second_s) {
  return {DifferenceKind::kStep, "rhexis", first, second, first_s, second_s, "", ""};
}

Finding Measure(const char* name, double low, double high) {
  Finding finding;
  finding.name = name;
  finding.measured.unit = "mm";
  finding.measured.estimate = Estimate{(low + high) / 2, low, high, 0.95};
  finding.frames = {At(3000)};
  return finding;
}

const ReviewNames kNames{"M1's", "the own view"};

}  // namespace

TEST_CASE("A difference says how the other one's boundary lies, and where it is gone to", "[fairly]") {
  const auto lines = DifferenceLines(
      {Step(At(10000), 5, At(12300), 1.7), Step(At(10000), 5, {}, 0), Step({}, 0, At(20000), 3)},
      MinuteClock(), Steps(), kNames);
  REQUIRE(lines.size() == 3);
  CHECK(lines[0].what == "Rhexis");
  CHECK(lines[0].how == "in the own view: starts 2.3 s later, ends 1.0 s earlier");
  CHECK(lines[0].at == At(10000));
  CHECK(lines[1].how.starts_with("only in M1's"));
  CHECK(lines[2].how.starts_with("only in the own view"));
  CHECK(lines[2].at == At(20000));
}

TEST_CASE("Moments, marks, checks and words that one lacks are told in words", "[fairly]") {
  const auto lines =
      DifferenceLines({{DifferenceKind::kMoment, "teaching point", At(5000), {}, 0, 0, "near the edge", ""},
                       {DifferenceKind::kMark, "rhexis, completion", {}, At(7000), 0, 0, "", ""},
                       {DifferenceKind::kCheck, "wound_tight", {}, {}, 0, 0, "seen done", "not reviewed"},
                       {DifferenceKind::kWords, "change", {}, {}, 0, 0, "slower", ""}},
                      MinuteClock(), Steps(), kNames);
  CHECK(lines[0].what == "Teaching point");
  CHECK(lines[0].how == "only in M1's: near the edge");
  CHECK(lines[1].how == "marked only in the own view");
  CHECK(lines[1].at == At(7000));
  CHECK(lines[2].what == "Wound tight");
  CHECK(lines[2].how == "M1's: seen done; the own view: not reviewed");
  CHECK_FALSE(lines[2].at);
  CHECK(lines[3].how == "M1's: slower; the own view: nothing said");
}

TEST_CASE("Findings differ where their limits do not meet", "[fairly]") {
  const std::vector<Finding> first{Measure("rhexis.diameter", 5.0, 5.2), Measure("rhexis.area", 20, 22),
                                   Measure("time.operation", 100, 101)};
  const std::vector<Finding> second{Measure("rhexis.diameter", 5.3, 5.5), Measure("rhexis.area", 21, 23),
                                    Measure("time.operation", 200, 201)};
  const auto lines = FindingDifferences(first, second, {{"rhexis.diameter", "diameter"}}, kNames);
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].what == "Diameter");
  CHECK(lines[0].at == At(3000));
  CHECK(FindingDifferences(first, {}, {}, kNames).empty());
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/tagging.hpp"
#include "annotate/case/visits.hpp"
#include "tests/annotate/case/case_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

namespace afterscope {
namespace {

// Steps as text, in the way of "rhexis 1000-2000 | lens 2000- s1", a lane 1 in brackets.
struct Bench {
  CaseRecord record = TwoRecordings();
  Review review;
  int ids = 0;

  VisitIdSource NewId() {
    return [this] { return VisitId{fmt::format("v{}", ++ids)}; };
  }
  bool Do(const Result<EditGroup>& group) {
    if (!group.ok()) return false;
    return ApplyEdits(*group, record, review).ok();
  }
  bool Start(const char* step, std::int64_t ticks, int lane = 0) {
    return Do(StartStep(review, step, At(ticks), NewId(), lane));
  }
  std::string Text() const {
    std::string text;
    for (const StepVisit& visit : review.visits) {
      if (!text.empty()) text += " | ";
      text += fmt::format("{} {}-{}", visit.step, visit.start.pts.ticks,
                          visit.end ? std::to_string(visit.end->pts.ticks) : "");
      if (visit.taken_over) text += " " + visit.operator_code;
      if (visit.lane > 0) text += " (other hand)";
    }
    return text;
  }
};

}  // namespace

TEST_CASE("Keys start steps and end the one that runs", "[case]") {
  Bench bench;
  REQUIRE(bench.Start("incision", 1000));
  REQUIRE(bench.Start("rhexis", 2000));
  CHECK(bench.Text() == "incision 1000-2000 | rhexis 2000-");
  REQUIRE(bench.Start("lens", 2000));  // the wrong key corrected at once
  CHECK(bench.Text() == "incision 1000-2000 | lens 2000-");
  REQUIRE(bench.Do(EndStep(bench.review, At(3000))));
  CHECK(bench.Text() == "incision 1000-2000 | lens 2000-3000");
  CHECK_FALSE(bench.Do(EndStep(bench.review, At(3000))));
  REQUIRE(bench.Start("side_port", 1500));  // inside a visit that has an end: takes the rest of it
  CHECK(bench.Text() == "incision 1000-1500 | side_port 1500-2000 | lens 2000-3000");
  REQUIRE(bench.Start("second", 1200, 1));
  CHECK(bench.Text() ==
        "incision 1000-1500 | side_port 1500-2000 | lens 2000-3000 | second 1200- (other hand)");
}

TEST_CASE("A take-over splits the visit and lasts until the instruments are given back", "[case]") {
  Bench bench;
  REQUIRE(bench.Start("rhexis", 1000));
  REQUIRE(bench.Do(TakeOver(bench.review, bench.record, At(1500), bench.NewId())));
  CHECK(bench.Text() == "rhexis 1000-1500 | rhexis 1500- s1");
  CHECK_FALSE(bench.Do(TakeOver(bench.review, bench.record, At(1600), bench.NewId())));
  REQUIRE(bench.Start("lens", 2000));
  CHECK(bench.Text() == "rhexis 1000-1500 | rhexis 1500-2000 s1 | lens 2000- s1");
  REQUIRE(bench.Do(ReturnInstruments(bench.review, At(2500), bench.NewId())));
  CHECK(bench.Text() == "rhexis 1000-1500 | rhexis 1500-2000 s1 | lens 2000-2500 s1 | lens 2500-");
  CHECK_FALSE(bench.Do(ReturnInstruments(bench.review, At(2600), bench.NewId())));
  CHECK(OperatorOf(bench.record, bench.review.visits[0]) == "t1");
  CHECK(OperatorOf(bench.record, bench.review.visits[1]) == "s1");
  StepVisit bare = bench.review.visits[1];
  bare.operator_code.clear();
  CHECK(OperatorOf(bench.record, bare) == bench.record.supervisor_code);
}

TEST_CASE("A take-over noted afterwards reaches over the steps up to the return", "[case]") {
  Bench bench;
  REQUIRE(bench.Start("rhexis", 1000));
  REQUIRE(bench.Start("lens", 2000));
  REQUIRE(bench.Start("cortex", 3000));
  const Review before = bench.review;
  auto group = TakeOver(bench.review, bench.record, At(1500), bench.NewId());
  REQUIRE(group.ok());
  auto inverse = ApplyEdits(*group, bench.record, bench.review);
  REQUIRE(inverse.ok());
  CHECK(bench.Text() == "rhexis 1000-1500 | rhexis 1500-2000 s1 | lens 2000-3000 s1 | cortex 3000- s1");
  REQUIRE(bench.Do(ReturnInstruments(bench.review, At(3000), bench.NewId())));
  CHECK(bench.Text() == "rhexis 1000-1500 | rhexis 1500-2000 s1 | lens 2000-3000 s1 | cortex 3000-");
}

TEST_CASE("Taking a take-over back needs one undo", "[case]") {
  Bench bench;
  REQUIRE(bench.Start("rhexis", 1000));
  const Review before = bench.review;
  auto group = TakeOver(bench.review, bench.record, At(1500), bench.NewId());
  auto inverse = ApplyEdits(*group, bench.record, bench.review);
  REQUIRE(inverse.ok());
  REQUIRE(ReapplyEdits(*inverse, bench.record, bench.review).ok());
  CHECK(bench.review == before);
}

TEST_CASE("Boundaries are moved, split and joined without a gap or an overlap", "[case]") {
  Bench bench;
  REQUIRE(bench.Start("rhexis", 1000));
  REQUIRE(bench.Start("lens", 2000));
  REQUIRE(bench.Do(EndStep(bench.review, At(3000))));
  const VisitId rhexis = bench.review.visits[0].id;
  const VisitId lens = bench.review.visits[1].id;
  REQUIRE(bench.Do(MoveBoundary(bench.review, lens, VisitEdge::kStart, At(2100))));
  CHECK(bench.Text() == "rhexis 1000-2100 | lens 2100-3000");
  REQUIRE(bench.Do(MoveBoundary(bench.review, rhexis, VisitEdge::kEnd, At(1900))));
  CHECK(bench.Text() == "rhexis 1000-1900 | lens 1900-3000");
  CHECK_FALSE(
      bench.Do(MoveBoundary(bench.review, rhexis, VisitEdge::kEnd, At(3000))));  // nothing of the lens left
  CHECK_FALSE(bench.Do(MoveBoundary(bench.review, rhexis, VisitEdge::kStart, At(1900))));
  REQUIRE(bench.Do(SplitVisit(bench.review, rhexis, At(1500), {"second"})));
  CHECK(bench.Text() == "rhexis 1000-1500 | rhexis 1500-1900 | lens 1900-3000");
  CHECK_FALSE(bench.Do(SplitVisit(bench.review, rhexis, At(1000), {"third"})));
  REQUIRE(bench.Do(JoinWithNext(bench.review, rhexis)));
  CHECK(bench.Text() == "rhexis 1000-1900 | lens 1900-3000");
  REQUIRE(bench.Do(RenameStep(bench.review, rhexis, "stain")));
  CHECK_FALSE(bench.Do(JoinWithNext(bench.review, lens)));
  CHECK(bench.Text() == "stain 1000-1900 | lens 1900-3000");
}

}  // namespace afterscope

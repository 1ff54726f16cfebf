// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/review_differences.hpp"
#include "tests/annotate/case/case_support.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

void Visit(Review& review, const char* step, std::int64_t start, std::int64_t end) {
  review.visits.push_back(
      {{std::string("v") + std::to_string(start)}, step, 0, At(start), At(end), "", false});
}

}  // namespace

TEST_CASE("Two views of a case: what one lacks, and what lies elsewhere", "[case]") {
  const CaseRecord record = TwoRecordings();
  const CaseClock clock(record.recordings);
  Review self;
  Visit(self, "side_port", 1000, 2000);
  Visit(self, "rhexis", 2000, 9000);
  Visit(self, "lens", 20000, 30000);
  self.checks["wound_tight"] = CheckState::kSeenDone;
  self.assessment.change = "grasp earlier";
  Review mentor;
  Visit(mentor, "side_port", 1900, 2500);
  Visit(mentor, "rhexis", 2500, 9500);
  Visit(mentor, "rhexis", 10000, 11000);
  Visit(mentor, "lens", 20000, 30000);
  mentor.moments.push_back({{"o1"}, At(5000), MomentKind::kComplication, "capsule_tear", "", {}});
  mentor.assessment.change = "grasp earlier ";
  const auto found = DifferencesBetween(self, mentor, clock);
  REQUIRE(found.size() == 3);
  CHECK(found[0].key == "rhexis");  // the second visit, which the operator did not see as one
  CHECK_FALSE(found[0].first_at);
  CHECK(found[0].second_at == At(10000));
  CHECK(found[0].second_seconds == Approx(1.0));
  CHECK(found[1].kind == DifferenceKind::kCheck);
  CHECK(found[1].first_says == "seen done");
  CHECK(found[1].second_says == "not reviewed");
  CHECK(found[2].kind == DifferenceKind::kComplication);
  CHECK(found[2].second_at == At(5000));
  CHECK(DifferencesBetween(self, mentor, clock, 0.1).size() == 5);
  CHECK(DifferencesBetween(mentor, mentor, clock, 0).empty());
}

TEST_CASE("Scores that two reviews give differently are told, and those that one lacks", "[case]") {
  const CaseRecord record = TwoRecordings();
  Review self;
  self.scores = {{{"s", "flow"}, 3, "", {}}, {{"s", "gentle"}, 2, "", {}}, {{"s", "wound"}, 4, "", {}}};
  Review mentor;
  mentor.scores = {{{"s", "flow"}, {}, "", {}}, {{"s", "gentle"}, 2, "otherwise", {}}};
  const auto found = DifferencesBetween(self, mentor, CaseClock(record.recordings));
  REQUIRE(found.size() == 2);
  CHECK(found[0].kind == DifferenceKind::kScore);
  CHECK(found[0].key == "s: flow");
  CHECK(found[0].first_says == "3");
  CHECK(found[0].second_says == "not applicable");
  CHECK(found[1].key == "s: wound");
  CHECK(found[1].second_says == "not scored");
}

TEST_CASE("Moments near each other are the same, of marks it counts only whether there is one", "[case]") {
  const CaseRecord record = TwoRecordings();
  const CaseClock clock(record.recordings);
  const auto moment = [](const char* id, std::int64_t at, MomentKind kind, const char* text) {
    return Moment{{id}, At(at), kind, "", text, {}};
  };
  Review self;
  self.moments = {moment("o1", 1000, MomentKind::kRemark, "steady"),
                  moment("o2", 2000, MomentKind::kRemark, "still steady"),
                  moment("o3", 30000, MomentKind::kTeachingPoint, "let go earlier")};
  self.marks = {{{"m1"}, At(500), MarkKind::kLimbus, {{1, 1}}, "", {}}};
  Review mentor;
  // One remark beside both of the other's, which is taken by the first; the same place, but another kind.
  mentor.moments = {moment("o1", 4000, MomentKind::kRemark, "good"),
                    moment("o2", 30000, MomentKind::kRemark, "here")};
  mentor.marks = {{{"m1"}, At(9000), MarkKind::kLimbus, {{2, 2}}, "", {}},
                  {{"m2"}, At(9000), MarkKind::kRhexis, {{3, 3}}, "", {{"stage", "completion"}}},
                  {{"m3"}, At(9000), MarkKind::kCover, {{3, 3}, {9, 9}}, "", {}}};
  const auto found = DifferencesBetween(self, mentor, clock);
  REQUIRE(found.size() == 4);
  CHECK(found[0].kind == DifferenceKind::kMoment);
  CHECK(found[0].first_says == "still steady");
  CHECK(found[1].key == "teaching point");
  CHECK(found[1].first_at == At(30000));
  CHECK(found[2].key == "remark");
  CHECK(found[2].second_says == "here");
  CHECK(found[3].kind == DifferenceKind::kMark);
  CHECK(found[3].key == "rhexis, completion");
  CHECK(found[3].second_at == At(9000));
}

}  // namespace afterscope

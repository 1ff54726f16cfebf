// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/person_moments.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

const ScoreSheet kSheet{
    "sheet",
    "",
    "",
    {},
    {{"quiet", "Quiet eye", "", "", {{1, "not yet", ""}, {2, "mostly", ""}, {3, "throughout", ""}}}},
    {},
    {}};

Moment MomentOf(const char* id, MomentKind kind) { return {{id}, {0, {10}}, kind, "", "", {}}; }

Score ScoreOf(double value, const char* moment) { return {{"sheet", "quiet"}, value, "", {{moment}}}; }

Review ReviewWith(Moment moment, std::vector<Score> scores) {
  Review review;
  review.moments = {std::move(moment)};
  review.scores = std::move(scores);
  return review;
}

}  // namespace

TEST_CASE("A moment is among the best as evidence of a score at the top of its scale", "[series]") {
  const auto best =
      WorthyMoments(ReviewWith(MomentOf("m1", MomentKind::kRemark), {ScoreOf(3, "m1")}), {kSheet});
  REQUIRE(best.size() == 1);
  CHECK(best[0].is_best);
  CHECK(best[0].score == "Quiet eye: throughout");
  const auto taught =
      WorthyMoments(ReviewWith(MomentOf("m1", MomentKind::kTeachingPoint), {ScoreOf(3, "m1")}), {kSheet});
  CHECK(taught.at(0).is_best);
}

TEST_CASE("Complications, teaching points and evidence of the lowest scores are instructive", "[series]") {
  const auto lowest =
      WorthyMoments(ReviewWith(MomentOf("m1", MomentKind::kRemark), {ScoreOf(1, "m1")}), {kSheet});
  REQUIRE(lowest.size() == 1);
  CHECK_FALSE(lowest[0].is_best);
  CHECK(lowest[0].score == "Quiet eye: not yet");
  for (const MomentKind kind : {MomentKind::kComplication, MomentKind::kTeachingPoint}) {
    const auto worthy = WorthyMoments(ReviewWith(MomentOf("m1", kind), {}), {});
    REQUIRE(worthy.size() == 1);
    CHECK_FALSE(worthy[0].is_best);
  }
  // Handled well, but nobody wants it again.
  const auto complication =
      WorthyMoments(ReviewWith(MomentOf("m1", MomentKind::kComplication), {ScoreOf(3, "m1")}), {kSheet});
  CHECK_FALSE(complication.at(0).is_best);
}

TEST_CASE("What no extreme score stands on is not shown", "[series]") {
  const Moment remark = MomentOf("m1", MomentKind::kRemark);
  CHECK(WorthyMoments(ReviewWith(remark, {}), {kSheet}).empty());
  CHECK(WorthyMoments(ReviewWith(remark, {ScoreOf(2, "m1")}), {kSheet}).empty());
  CHECK(WorthyMoments(ReviewWith(remark, {ScoreOf(3, "m2")}), {kSheet}).empty());
  CHECK(WorthyMoments(ReviewWith(remark, {ScoreOf(3, "m1")}), {}).empty());  // the sheet is not at hand
  Score none = ScoreOf(3, "m1");
  none.value.reset();
  CHECK(WorthyMoments(ReviewWith(remark, {none}), {kSheet}).empty());
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/scores/score_walk.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

namespace afterscope {
namespace {

ScoreItem ItemFrom(double least, int levels) {
  ScoreItem item;
  item.key = "flap";
  item.step = "rhexis";
  for (int i = 0; i < levels; ++i) item.levels.push_back({least + i, "", ""});
  return item;
}

FrameRef At(std::int64_t ticks) { return {0, Pts{ticks}}; }

}  // namespace

TEST_CASE("Digits score an item by the place of its value", "[scores]") {
  ScoreItem item = ItemFrom(2, 4);  // a scale from 2 to 5
  CHECK(ValueOfDigit(item, '1') == "2");
  CHECK(ValueOfDigit(item, '4') == "5");
  CHECK(ValueOfDigit(item, '5').empty());
  CHECK(ValueOfDigit(item, '0') == "na");
  item.may_not_apply = false;
  CHECK(ValueOfDigit(item, '0').empty());
  CHECK(DigitOfLevel(item, 0) == 1);
  const ScoreItem wide = ItemFrom(0, 11);
  CHECK(DigitOfLevel(wide, 8) == 9);
  CHECK(DigitOfLevel(wide, 9) == 0);
}

TEST_CASE("A score, and the sum of a sheet, in words", "[scores]") {
  CHECK(ScoreText(nullptr) == "–");
  Score score;
  CHECK(ScoreText(&score) == "na");
  score.value = 3;
  CHECK(ScoreText(&score) == "3");
  ScoreSum sum;
  sum.items = 12;
  CHECK(SumWords(sum) == "0 of 12 scored");
  sum.scored = 3;
  sum.not_applicable = 1;
  sum.sum = 14;
  sum.most = 16;
  sum.percent = 87.5;
  CHECK(SumWords(sum) == "4 of 12 scored; 14 of 16 (88 %)");
  sum.passed = false;
  CHECK(SumWords(sum).ends_with("; not passed"));
}

TEST_CASE("A moment is tied to a score, and untied by the same key", "[scores]") {
  const Score tied = WithMoment({}, MomentId{"m1"});
  CHECK(tied.moments == std::vector{MomentId{"m1"}});
  CHECK(WithMoment(tied, MomentId{"m1"}).moments.empty());
  Review review;
  review.moments.resize(2);
  review.moments[0] = {MomentId{"m1"}, At(5), MomentKind::kRemark, "", "a", {}};
  review.moments[1] = {MomentId{"m2"}, At(5), MomentKind::kRemark, "", "b", {}};
  REQUIRE(MomentOnFrame(review, At(5)) != nullptr);
  CHECK(MomentOnFrame(review, At(5))->id == MomentId{"m2"});
  CHECK(MomentOnFrame(review, At(6)) == nullptr);
}

TEST_CASE("The picture goes to the step that an item is about", "[scores]") {
  Review review;
  for (const std::int64_t start : {100, 300}) {
    StepVisit visit;
    visit.id = VisitId{fmt::format("v{}", start)};
    visit.step = "rhexis";
    visit.start = At(start);
    visit.end = At(start + 50);
    review.visits.push_back(visit);
  }
  const ScoreItem item = ItemFrom(1, 4);
  CHECK(StepOfItem(review, item, At(0)) == At(100));
  CHECK(StepOfItem(review, item, At(400)) == At(300));
  CHECK_FALSE(StepOfItem(review, item, At(320)));  // already there
  ScoreItem whole = item;
  whole.step.clear();
  CHECK_FALSE(StepOfItem(review, whole, At(0)));
  whole.step = "lens";
  CHECK_FALSE(StepOfItem(review, whole, At(0)));
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/point_keys.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef At(std::int64_t ms) { return {0, Pts{ms}}; }

Review TwoMarks() {
  Review review;
  review.marks.push_back({{"m1"}, At(100), MarkKind::kRuler, {{10, 10}, {20, 20}}, "", {}});
  review.marks.push_back({{"m2"}, At(200), MarkKind::kLabel, {{5, 5}}, "here", {}});
  review.trails.push_back({{"t1"}, "forceps", "main", {{At(100), {30, 30}, TrailSource::kHand, 1}}, {}});
  return review;
}

// A recording that is long enough for them.
CaseRecord OneMinute() {
  CaseRecord record;
  record.recordings.resize(1);
  record.recordings[0].shape.end = Pts{60000};
  record.recordings[0].shape.width = 640;
  record.recordings[0].shape.height = 480;
  return record;
}

}  // namespace

TEST_CASE("The points of a frame are chosen one after another, round and round", "[marks]") {
  const Review review = TwoMarks();
  std::optional<Handle> chosen;
  for (const PointPx wanted : {PointPx{10, 10}, PointPx{20, 20}, PointPx{30, 30}, PointPx{10, 10}}) {
    chosen = PointBeside(chosen, review, At(100), 1);
    REQUIRE(chosen);
    CHECK(chosen->at == wanted);
  }
  CHECK(PointBeside(chosen, review, At(100), -1)->at == PointPx{30, 30});
  CHECK(PointBeside({}, review, At(100), -1)->at == PointPx{30, 30});
  CHECK_FALSE(PointBeside({}, review, At(300), 1));
  CHECK(ChosenOn(chosen, review, At(100)));
  CHECK_FALSE(ChosenOn(chosen, review, At(200)));
}

TEST_CASE("An arrow moves by a pixel of the shown picture, with Shift by ten", "[marks]") {
  CHECK(OffsetOf("point left")->x == -1);
  CHECK(OffsetOf("point far down")->y == 10);
  CHECK_FALSE(OffsetOf("next frame"));
  const OffsetPx upright = PxOffset(ShownPicture::Of(640, 480, {1, 1}, 0), {0, 1});
  CHECK(upright.x == Approx(0).margin(1e-12));
  CHECK(upright.y == Approx(1));
  // Turned clockwise by 90 degrees for display, down on the screen is right in the file.
  const OffsetPx turned = PxOffset(ShownPicture::Of(640, 480, {1, 1}, 90), {0, 1});
  CHECK(turned.x == Approx(1));
  CHECK(turned.y == Approx(0).margin(1e-12));
  // Pixels twice as wide as high: one pixel of the screen is half a pixel of the file.
  CHECK(PxOffset(ShownPicture::Of(640, 480, {2, 1}, 0), {1, 0}).x == Approx(0.5));
}

TEST_CASE("Moves add up from where the point is now, are undone one by one, and a point that is gone is told",
          "[marks]") {
  Review review = TwoMarks();
  CaseRecord record = OneMinute();
  const Handle first{MarkId{"m1"}, 0, {10, 10}};
  std::vector<EditGroup> back;
  for (int i = 0; i < 3; ++i) {
    const auto move = MovePointBy(review, first, At(100), {1, -10});
    REQUIRE(move.ok());
    auto inverse = ApplyEdits(*move, record, review);
    REQUIRE(inverse.ok());
    back.push_back(*inverse);
  }
  CHECK(review.marks[0].points[0] == PointPx{13, -20});
  REQUIRE(ApplyEdits(back.back(), record, review).ok());
  CHECK(review.marks[0].points[0] == PointPx{12, -10});
  const auto tip = MovePointBy(review, {TrailId{"t1"}, 0, {30, 30}}, At(100), {1, 0});
  REQUIRE(tip.ok());
  REQUIRE(ApplyEdits(*tip, record, review).ok());
  CHECK(review.trails[0].points[0].tip == PointPx{31, 30});
  CHECK(review.trails[0].points[0].source == TrailSource::kCorrected);
  review.trails[0].points[0].shaft = PointPx{60, 70};
  const Handle shaft{TrailId{"t1"}, 0, {60, 70}, TipPart::kShaft};
  REQUIRE(ChosenOn(shaft, review, At(100)));
  const auto turned = MovePointBy(review, shaft, At(100), {0, 5});
  REQUIRE(turned.ok());
  REQUIRE(ApplyEdits(*turned, record, review).ok());
  CHECK(review.trails[0].points[0].shaft == PointPx{60, 75});
  CHECK(review.trails[0].points[0].tip == PointPx{31, 30});
  const auto gone = RemovePoint(review, shaft, At(100));
  REQUIRE(gone.ok());
  REQUIRE(ApplyEdits(*gone, record, review).ok());
  CHECK_FALSE(review.trails[0].points[0].shaft);
  const auto whole = RemoveWhole(review, first);
  REQUIRE(whole.ok());
  REQUIRE(ApplyEdits(*whole, record, review).ok());
  CHECK(review.marks.size() == 1);
  CHECK_FALSE(MovePointBy(review, first, At(100), {1, 0}).ok());
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/mark_edits.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

PointPx OnCircle(double degrees, double noise = 0) {
  const double a = degrees * std::numbers::pi / 180;
  return {100 * std::cos(a) + noise, 100 * std::sin(a) - noise};
}

CaseRecord MarkRecord() {
  CaseRecord record;
  record.recordings.resize(1);
  record.recordings[0].shape = {{1, 100}, Pts{0}, Pts{10000}, 1000, 1000, {1, 1}, 0, true};
  return record;
}

// A review to which groups are applied as the program does it.
struct MarkDesk {
  CaseRecord record = MarkRecord();
  Review review;
  int next = 0;
  MarkIdSource mark_ids = [this] { return MarkId{fmt::format("m{}", next++)}; };
  TrailIdSource trail_ids = [this] { return TrailId{fmt::format("t{}", next++)}; };

  void Do(const Result<EditGroup>& group) {
    REQUIRE(group);
    const auto inverse = ApplyEdits(*group, record, review);
    if (!inverse) FAIL(inverse.error().message);
  }
};

const FrameRef kAt{0, Pts{500}};

}  // namespace

TEST_CASE("Points clicked one after another round an edge stay in that order", "[marking]") {
  MarkDesk desk;
  for (int i = 0; i < 18; ++i)
    desk.Do(AddOutlinePoint(desk.review, MarkKind::kRhexis, kAt, OnCircle(20 * i, i % 2 == 0 ? 1.5 : -1.5),
                            desk.mark_ids));
  REQUIRE(desk.review.marks.size() == 1);
  const auto& points = desk.review.marks[0].points;
  REQUIRE(points.size() == 18);
  for (std::size_t i = 0; i < 18; ++i)
    CHECK(points[i] == OnCircle(20 * static_cast<double>(i), i % 2 == 0 ? 1.5 : -1.5));
  CHECK(desk.review.marks[0].fields.at("stage") == "completion");
}

TEST_CASE("A point beside the line between two neighbours goes between them", "[marking]") {
  std::vector<PointPx> outline;
  for (int i = 0; i < 8; ++i) outline.push_back(OnCircle(45 * i));
  CHECK(PlaceOnOutline(outline, OnCircle(22)) == 1);
  CHECK(PlaceOnOutline(outline, OnCircle(200)) == 5);
  CHECK(PlaceOnOutline(outline, OnCircle(340)) == 8);  // between the last and the first
  CHECK(PlaceOnOutline({}, {3, 4}) == 0);
  CHECK(PlaceOnOutline({{0, 0}, {10, 0}}, {5, 0}) == 2);  // two points are no outline yet
}

TEST_CASE("Outlines on other frames and of other kinds are other marks", "[marking]") {
  MarkDesk desk;
  desk.Do(AddOutlinePoint(desk.review, MarkKind::kRhexis, kAt, {1, 2}, desk.mark_ids));
  desk.Do(AddOutlinePoint(desk.review, MarkKind::kPupil, kAt, {1, 2}, desk.mark_ids));
  desk.Do(AddOutlinePoint(desk.review, MarkKind::kRhexis, {0, Pts{504}}, {1, 2}, desk.mark_ids));
  CHECK(desk.review.marks.size() == 3);
}

TEST_CASE("Points are moved and removed, and with the last one goes the mark", "[marking]") {
  MarkDesk desk;
  desk.Do(AddOutlinePoint(desk.review, MarkKind::kLimbus, kAt, {1, 2}, desk.mark_ids));
  desk.Do(AddOutlinePoint(desk.review, MarkKind::kLimbus, kAt, {30, 2}, desk.mark_ids));
  const MarkId id = desk.review.marks[0].id;
  desk.Do(MoveMarkPoint(desk.review, id, 1, {40, 2}));
  CHECK(desk.review.marks[0].points[1] == PointPx{40, 2});
  desk.Do(RemoveMarkPoint(desk.review, id, 0));
  CHECK(desk.review.marks[0].points == std::vector<PointPx>{{40, 2}});
  desk.Do(RemoveMarkPoint(desk.review, id, 0));
  CHECK(desk.review.marks.empty());
  CHECK_FALSE(MoveMarkPoint(desk.review, id, 0, {1, 1}));
}

TEST_CASE("A ruler of known length makes one scale, and takes it away again", "[marking]") {
  MarkDesk desk;
  const auto scale_ids = [] { return ScaleId{"s1"}; };
  desk.Do(AddTwoPointMark(desk.review, MarkKind::kRuler, kAt, {0, 0}, {100, 0}, desk.mark_ids));
  const MarkId id = desk.review.marks[0].id;
  desk.Do(SetRulerLength(desk.review, id, *ReadKnownLength("25 G"), scale_ids));
  // 25 G: 0.5 mm by ISO 9626 (from memory).
  REQUIRE(desk.review.scales.size() == 1);
  CHECK(*desk.review.scales[0].known_mm == Approx(0.5).margin(0.02));
  CHECK(desk.review.scales[0].known_sd_mm > 0);
  desk.Do(SetRulerLength(desk.review, id, *ReadKnownLength("2.8"), scale_ids));
  REQUIRE(desk.review.scales.size() == 1);
  CHECK(desk.review.scales[0].known_mm == 2.8);
  CHECK_FALSE(desk.review.scales[0].known_sd_mm);
  desk.Do(RemoveMarkPoint(desk.review, id, 1));
  CHECK(desk.review.marks.empty());
  CHECK(desk.review.scales.empty());
  CHECK_FALSE(AddTwoPointMark(desk.review, MarkKind::kRuler, kAt, {5, 5}, {5, 5}, desk.mark_ids));
}

TEST_CASE("A known length is read in millimetres or as a gauge, and nothing else passes for one",
          "[marking]") {
  CHECK(ReadKnownLength("23g")->value().mm == Approx(0.64).margin(0.02));  // ISO 9626, from memory
  CHECK(ReadKnownLength(" 2.8 ")->value().mm == 2.8);
  for (const char* none : {"", " ", "0"}) CHECK_FALSE(ReadKnownLength(none)->has_value());
  for (const char* wrong : {"2.8 cm", "long", "-1", "nan", "G", "12 G", "99 G", "25.5 G", "1e9 G"}) {
    INFO(wrong);
    CHECK_FALSE(ReadKnownLength(wrong).ok());
  }
}

TEST_CASE("Tips frame after frame make one trail, far away a new one", "[marking]") {
  MarkDesk desk;
  for (int i = 0; i < 4; ++i)
    desk.Do(SetTip(desk.review, {0, Pts{100 + 4 * i}}, {10.0 + i, 20}, {}, 200, desk.trail_ids));
  desk.Do(SetTip(desk.review, {0, Pts{104}}, {99, 20}, {}, 200, desk.trail_ids));  // corrected
  REQUIRE(desk.review.trails.size() == 1);
  REQUIRE(desk.review.trails[0].points.size() == 4);
  CHECK(desk.review.trails[0].points[1].tip == PointPx{99, 20});
  desk.Do(SetTip(desk.review, {0, Pts{5000}}, {1, 1}, {}, 200, desk.trail_ids));
  CHECK(desk.review.trails.size() == 2);
  desk.Do(RemoveTip(desk.review, desk.review.trails[1].id, {0, Pts{5000}}));
  CHECK(desk.review.trails.size() == 1);
}

TEST_CASE("The hand says which way a shaft lies; moving, correcting and removing it leave the tip",
          "[marking]") {
  MarkDesk desk;
  CHECK_FALSE(SetShaft(desk.review, kAt, {50, 60}).ok());  // no tip there
  desk.Do(SetTip(desk.review, kAt, {10, 20}, PointPx{40, 60}, 200, desk.trail_ids));
  REQUIRE(desk.review.trails.size() == 1);
  const TrailId id = desk.review.trails[0].id;
  const auto point = [&] { return desk.review.trails[0].points[0]; };
  CHECK(point().shaft == PointPx{40, 60});
  CHECK_FALSE(SetShaft(desk.review, kAt, {12, 20}).ok());  // the tip itself
  desk.Do(SetShaft(desk.review, kAt, {50, 60}));
  desk.Do(MoveTipPoint(desk.review, id, kAt, TipPart::kShaft, {55, 66}));
  CHECK(point().shaft == PointPx{55, 66});
  CHECK(point().tip == PointPx{10, 20});
  CHECK(point().source == TrailSource::kHand);
  desk.Do(MoveTipPoint(desk.review, id, kAt, TipPart::kTip, {11, 21}));
  CHECK(point().shaft == PointPx{55, 66});
  CHECK(point().tip == PointPx{11, 21});
  CHECK(point().source == TrailSource::kCorrected);
  desk.Do(RemoveShaft(desk.review, id, kAt));
  CHECK_FALSE(point().shaft);
  CHECK(point().tip == PointPx{11, 21});
}

TEST_CASE("A shaft is set on the nearest tip that the hand set, not on one that was followed", "[marking]") {
  MarkDesk desk;
  Trail by_hand{{"t1"}, "forceps", "main", {{kAt, {10, 20}, TrailSource::kHand, 1}}, {}};
  Trail followed{{"t2"}, "hook", "other", {{kAt, {100, 20}, TrailSource::kFollowed, 0.97}}, {}};
  desk.review.trails = {by_hand, followed};
  desk.Do(SetShaft(desk.review, kAt, {110, 60}));
  CHECK(desk.review.trails[0].points[0].shaft == PointPx{110, 60});
  CHECK_FALSE(desk.review.trails[1].points[0].shaft);
}

TEST_CASE("Marks are copied to another frame, outlines only where none of their kind lies", "[marking]") {
  MarkDesk desk;
  for (int i = 0; i < 8; ++i)
    desk.Do(AddOutlinePoint(desk.review, MarkKind::kLimbus, kAt, OnCircle(45 * i), desk.mark_ids));
  desk.Do(AddTwoPointMark(desk.review, MarkKind::kArrow, kAt, {1, 2}, {3, 4}, desk.mark_ids));
  desk.Do(AddLabel(kAt, {5, 6}, "edge", desk.mark_ids));
  const std::vector<Mark> marks = desk.review.marks;
  REQUIRE(marks.size() == 3);
  const FrameRef later{0, Pts{700}};
  desk.Do(CopyMarks(desk.review, marks, later, desk.mark_ids));
  REQUIRE(desk.review.marks.size() == 6);
  for (std::size_t i = 0; i < 3; ++i) {
    const Mark& copy = desk.review.marks[3 + i];
    CHECK(copy.at == later);
    CHECK(copy.id != marks[0].id);
  }
  CHECK_FALSE(CopyMarks(desk.review, {marks[0]}, later, desk.mark_ids));
  CHECK(CopyMarks(desk.review, {}, later, desk.mark_ids)->edits.empty());
}

TEST_CASE("A tunnel is bent by the middle of its pieces; named otherwise it is straight again", "[desktop]") {
  MarkDesk desk;
  desk.Do(AddTwoPointMark(desk.review, MarkKind::kIncision, kAt, {100, 100}, {300, 100}, desk.mark_ids));
  const MarkId id = desk.review.marks[0].id;
  CHECK(GripsOf(desk.review.marks[0]).size() == 2);
  desk.Do(NameIncision(desk.review.marks[0], IncisionKind::kTunnel));
  REQUIRE(GripsOf(desk.review.marks[0]).size() == 3);
  CHECK(GripsOf(desk.review.marks[0])[2] == PointPx{200, 100});
  desk.Do(MoveMarkPoint(desk.review, id, 2, {200, 60}));
  desk.Do(MoveMarkPoint(desk.review, id, 4, {260, 70}));
  using Points = std::vector<PointPx>;
  CHECK(desk.review.marks[0].points == Points{{100, 100}, {200, 60}, {260, 70}, {300, 100}});
  CHECK_FALSE(RemoveMarkPoint(desk.review, id, 5).ok());
  desk.Do(RemoveMarkPoint(desk.review, id, 1));
  CHECK(desk.review.marks[0].points == Points{{100, 100}, {260, 70}, {300, 100}});
  desk.Do(NameIncision(desk.review.marks[0], IncisionKind::kSidePort));
  CHECK(desk.review.marks[0].points == Points{{100, 100}, {300, 100}});
  CHECK(KindOfIncision(desk.review.marks[0]) == IncisionKind::kSidePort);
  // Of other incisions more than two points are refused.
  Mark bent = desk.review.marks[0];
  bent.points.push_back({9, 9});
  CHECK_FALSE(ApplyEdits({"", {Put<Mark>{bent}}}, desk.record, desk.review).ok());
}

}  // namespace afterscope

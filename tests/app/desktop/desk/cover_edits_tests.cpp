// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/edit.hpp"
#include "app/desktop/desk/cover_edits.hpp"
#include "app/desktop/timeline/cover_line.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

FrameRef Frame(std::int64_t ticks, int recording = 0) { return {recording, Pts{ticks}}; }

CaseRecord Record() {
  CaseRecord record;
  record.recordings.resize(2);
  for (RecordingRef& ref : record.recordings)
    ref.shape = {{1, 100}, Pts{0}, Pts{10'000}, 1000, 800, {1, 1}, 0, true};
  return record;
}

struct Desk {
  CaseRecord record = Record();
  Review review;

  Desk() { Put(Frame(500)); }
  void Put(FrameRef at) {
    Do(AddTwoPointMark(review, MarkKind::kCover, at, {10, 10}, {90, 50},
                       [this] { return MarkId{fmt::format("m{}", review.marks.size())}; }));
  }
  void Do(const Result<EditGroup>& group) {
    REQUIRE(group);
    REQUIRE(ApplyEdits(*group, record, review));
  }
  auto Range() const { return RangeOfCover(review.marks[0]); }
};

const MarkId kCover{"m0"};

}  // namespace

TEST_CASE("A cover is drawn for its whole recording, then given its ends on the case clock", "[cover]") {
  Desk desk;
  CHECK_FALSE(desk.Range());
  desk.Do(CoverFrom(desk.review, desk.record.recordings, kCover, Frame(2000)));
  CHECK(*desk.Range() == HalfOpen<FrameRef>{Frame(2000), Frame(10'000)});
  desk.Do(CoverUntil(desk.review, desk.record.recordings, kCover, Frame(300, 1)));
  CHECK(*desk.Range() == HalfOpen<FrameRef>{Frame(2000), Frame(300, 1)});
  // Beyond its end: from there to the end of that recording.
  desk.Do(CoverFrom(desk.review, desk.record.recordings, kCover, Frame(400, 1)));
  CHECK(*desk.Range() == HalfOpen<FrameRef>{Frame(400, 1), Frame(10'000, 1)});
  // Before its start: from the start of that recording.
  desk.Do(CoverUntil(desk.review, desk.record.recordings, kCover, Frame(700)));
  CHECK(*desk.Range() == HalfOpen<FrameRef>{Frame(0), Frame(700)});
  desk.Do(CoverThroughout(desk.review, kCover));
  CHECK_FALSE(desk.Range());
  CHECK_FALSE(CoverThroughout(desk.review, {"gone"}).ok());
}

TEST_CASE("The shape of a cover goes round; its corner removed, it goes as a whole", "[cover]") {
  Desk desk;
  for (const CoverShape shape : {CoverShape::kEllipse, CoverShape::kOutside, CoverShape::kBox}) {
    desk.Do(NextCoverShape(desk.review, kCover));
    CHECK(ShapeOfCover(desk.review.marks[0]) == shape);
  }
  desk.Do(RemoveMarkPoint(desk.review, kCover, 1));
  CHECK(desk.review.marks.empty());
}

TEST_CASE("A cover is taken hold of at its four corners, and moved as a whole by its middle", "[cover]") {
  Desk desk;  // from 10, 10 to 90, 50
  const auto corners = [&] { return desk.review.marks[0].points; };
  using Points = std::vector<PointPx>;
  CHECK(GripsOf(desk.review.marks[0]) == Points{{10, 10}, {90, 50}, {10, 50}, {90, 10}, {50, 30}});
  desk.Do(MoveMarkPoint(desk.review, kCover, 0, {20, 15}));
  CHECK(corners() == Points{{20, 15}, {90, 50}});
  desk.Do(MoveMarkPoint(desk.review, kCover, 2, {25, 60}));  // the lower left one
  CHECK(corners() == Points{{25, 15}, {90, 60}});
  desk.Do(MoveMarkPoint(desk.review, kCover, 3, {95, 20}));  // the upper right one
  CHECK(corners() == Points{{25, 20}, {95, 60}});
  desk.Do(MoveMarkPoint(desk.review, kCover, 4, {70, 45}));  // by 10, 5
  CHECK(corners() == Points{{35, 25}, {105, 65}});
  CHECK_FALSE(MoveMarkPoint(desk.review, kCover, 5, {0, 0}).ok());
  // What hides all but an ellipse is not pushed away from there by its middle.
  desk.Do(NextCoverShape(desk.review, kCover));
  desk.Do(NextCoverShape(desk.review, kCover));
  REQUIRE(ShapeOfCover(desk.review.marks[0]) == CoverShape::kOutside);
  CHECK(GripsOf(desk.review.marks[0]).size() == 4);
  desk.Do(RemoveMarkPoint(desk.review, kCover, 3));
  CHECK(desk.review.marks.empty());
}

TEST_CASE("The cover that is meant is the chosen one, else one that holds here", "[cover]") {
  Desk desk;
  desk.Put(Frame(600));
  desk.Do(CoverUntil(desk.review, desk.record.recordings, {"m1"}, Frame(700)));
  CHECK(CoverMeant(desk.review, std::nullopt, Frame(650)) == kCover);  // the other begins at 0
  CHECK(CoverMeant(desk.review, std::nullopt, Frame(900)) == kCover);
  CHECK(CoverMeant(desk.review, MarkId{"m1"}, Frame(900)) == MarkId{"m1"});
  CHECK(CoverMeant(desk.review, MarkId{"other"}, Frame(900)) == kCover);
  CHECK(CoverMeant(desk.review, std::nullopt, Frame(0, 1)).has_value());
  CHECK_FALSE(CoverMeant({}, std::nullopt, Frame(0)));
}

TEST_CASE("All but the eye: a circle round the marked limbus is left", "[cover]") {
  Desk desk;
  desk.review.marks.clear();
  const MarkIdSource id = [] { return MarkId{"c"}; };
  CHECK_FALSE(CoverAllButEye(desk.record, desk.review, Frame(500), id).ok());
  Mark limbus{{"l"}, Frame(500), MarkKind::kLimbus, {}, "", {}};
  for (int i = 0; i < 12; ++i)
    limbus.points.push_back(
        {400 + 100 * std::cos(i * std::numbers::pi / 6), 300 + 100 * std::sin(i * std::numbers::pi / 6)});
  desk.Do(EditGroup{"", {Put<Mark>{limbus}}});
  desk.Do(CoverAllButEye(desk.record, desk.review, Frame(500), id));
  const Mark& cover = desk.review.marks.back().kind == MarkKind::kCover ? desk.review.marks.back()
                                                                        : desk.review.marks.front();
  CHECK(ShapeOfCover(cover) == CoverShape::kOutside);
  CHECK(cover.points[0].x == Approx(270).margin(1));
  CHECK(cover.points[1].y == Approx(430).margin(1));
  CHECK(CoverHolds(cover, Frame(9000)));
}

TEST_CASE("The timeline shows for how long a cover holds", "[cover]") {
  Desk desk;
  CHECK(HasCovers(desk.review));
  CHECK_FALSE(HasCovers({}));
  const CaseClock clock(desk.record.recordings);  // twice 100 s
  const Strip strip{0, 200, 0, 400};
  auto covers = LayOutCovers(strip, clock, desk.review);
  REQUIRE(covers.size() == 1);
  CHECK(covers[0].left == Approx(0));
  CHECK(covers[0].right == Approx(200));
  desk.Do(CoverFrom(desk.review, desk.record.recordings, kCover, Frame(5000)));
  desk.Do(CoverUntil(desk.review, desk.record.recordings, kCover, Frame(2500, 1)));
  covers = LayOutCovers(strip, clock, desk.review);
  CHECK(covers[0].left == Approx(100));
  CHECK(covers[0].right == Approx(250));
  CHECK(LayOutCovers({150, 200, 0, 400}, clock, desk.review).empty());
}

}  // namespace afterscope

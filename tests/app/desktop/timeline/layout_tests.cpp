// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/hit.hpp"
#include "app/desktop/timeline/layout.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

// Recordings of so many seconds each, at 25 frames a second, ticks of 1/100 s, first timestamp 500.
std::vector<RecordingRef> Recordings(std::initializer_list<int> seconds) {
  std::vector<RecordingRef> recordings;
  for (const int s : seconds) {
    RecordingRef ref;
    ref.shape.time_base = {1, 100};
    ref.shape.first = Pts{500};
    ref.shape.end = Pts{500 + 100 * s};
    recordings.push_back(ref);
  }
  return recordings;
}

std::shared_ptr<const FrameTable> Table(int seconds) {
  std::vector<FrameEntry> frames;
  for (int i = 0; i < seconds * 25; ++i)
    frames.push_back({Pts{500 + 4 * i}, TickSpan{4}, i % 25 == 0, -1, false});
  return std::make_shared<FrameTable>(frames, Rational{1, 100}, TableState::kVerified);
}

FrameRef At(int recording, double seconds) {
  return {recording, Pts{500 + static_cast<std::int64_t>(seconds * 100)}};
}

StepVisit Visit(const char* id, const char* step, FrameRef start, std::optional<FrameRef> end) {
  StepVisit visit;
  visit.id = {id};
  visit.step = step;
  visit.start = start;
  visit.end = end;
  return visit;
}

}  // namespace

TEST_CASE("The whole case lies in the full width", "[timeline]") {
  const CaseClock clock(Recordings({60, 40}));
  Review review;
  review.visits = {Visit("v1", "rhexis", At(0, 10), At(0, 30)),
                   Visit("v2", "cortex", At(1, 0), std::nullopt)};
  const auto layout = LayOutOperation(clock, review, 100, 1100);  // 10 px a second
  REQUIRE(layout.bands.size() == 2);
  CHECK(layout.bands[0].left == Approx(200));
  CHECK(layout.bands[0].right == Approx(400));
  CHECK_FALSE(layout.bands[0].open_end);
  CHECK(layout.bands[1].left == Approx(700));
  CHECK(layout.bands[1].right == Approx(1100));
  CHECK(layout.bands[1].open_end);
  REQUIRE(layout.joints.size() == 1);
  CHECK(layout.joints[0] == Approx(700));
  for (std::size_t i = 1; i < layout.ticks.size(); ++i)
    CHECK(layout.ticks[i].x - layout.ticks[i - 1].x >= 90);
}

TEST_CASE("Slivers that touch are merged, slivers that do not are kept", "[timeline]") {
  const CaseClock clock(Recordings({1000}));
  Review review;
  review.visits = {Visit("v1", "a", At(0, 100), At(0, 101)), Visit("v2", "b", At(0, 101), At(0, 102)),
                   Visit("v3", "c", At(0, 500), At(0, 501))};
  const auto layout = LayOutOperation(clock, review, 0, 1000);  // 1 px a second
  REQUIRE(layout.bands.size() == 2);
  CHECK(layout.bands[0].visits.size() == 2);
  CHECK(layout.bands[0].step.empty());
  CHECK(layout.bands[1].step == "c");
}

TEST_CASE("Moments close together are one record of the weightiest kind", "[timeline]") {
  const CaseClock clock(Recordings({1000}));
  Review review;
  for (const double s : {100.0, 103.0, 500.0}) {
    Moment moment;
    moment.id = {s == 100.0 ? "m1" : s == 103.0 ? "m2" : "m3"};
    moment.at = At(0, s);
    moment.kind = s == 103.0 ? MomentKind::kComplication : MomentKind::kRemark;
    review.moments.push_back(moment);
  }
  const auto layout = LayOutOperation(clock, review, 0, 1000);
  REQUIRE(layout.moments.size() == 2);
  CHECK(layout.moments[0].moments.size() == 2);
  CHECK(layout.moments[0].kind == MomentKind::kComplication);
}

TEST_CASE("The moment shows each frame where it lies, the playhead in the middle", "[timeline]") {
  const CaseClock clock(Recordings({60}));
  const auto layout = LayOutMoment(clock, {}, {Table(60)}, At(0, 30), 4, 0, 1000, 100);  // 10 px a frame
  REQUIRE(layout.frames.size() >= 100);
  bool found = false;
  for (const FrameRecord& frame : layout.frames) {
    CHECK(frame.right - frame.left == Approx(10).margin(0.01));
    if (frame.at != At(0, 30)) continue;
    CHECK(frame.left == Approx(500).margin(0.01));
    found = true;
  }
  CHECK(found);
  for (const PictureRecord& picture : layout.pictures)
    CHECK((picture.at.pts.ticks - 500) / 4 % 10 == 0);  // every tenth
}

TEST_CASE("Small pictures begin at the same frames while the strip moves", "[timeline]") {
  const CaseClock clock(Recordings({60}));
  const Tables tables{Table(60)};
  const auto one = LayOutMoment(clock, {}, tables, At(0, 30), 4, 0, 1000, 100);
  const auto next = LayOutMoment(clock, {}, tables, At(0, 30.12), 4, 0, 1000, 100);
  int shared = 0;
  for (const auto& a : one.pictures)
    for (const auto& b : next.pictures) shared += a.at == b.at ? 1 : 0;
  CHECK(shared >= 9);
}

TEST_CASE("The moment goes on into the next recording", "[timeline]") {
  const CaseClock clock(Recordings({10, 10}));
  const auto layout = LayOutMoment(clock, {}, {Table(10), Table(10)}, At(1, 0.4), 4, 0, 1000, 100);
  bool first = false;
  bool second = false;
  for (const auto& frame : layout.frames) (frame.at.recording == 0 ? first : second) = true;
  CHECK(first);
  CHECK(second);
}

TEST_CASE("A boundary is hit within reach and set to the nearest frame", "[timeline]") {
  const CaseClock clock(Recordings({60}));
  Review review;
  review.visits = {Visit("v1", "a", At(0, 29), At(0, 30)), Visit("v2", "b", At(0, 30), At(0, 40))};
  const auto layout = LayOutMoment(clock, review, {Table(60)}, At(0, 30), 4, 0, 1000, 100);
  const auto hit = HitMoment(layout, 503, 5);
  REQUIRE(hit.boundary != nullptr);
  CHECK(hit.boundary->ending == VisitId{"v1"});
  CHECK(hit.boundary->starting == VisitId{"v2"});
  CHECK(HitMoment(layout, 512, 5).boundary == nullptr);
  CHECK(BoundaryAt(layout, 503, {}) == At(0, 30));
  CHECK(BoundaryAt(layout, 507, {}) == At(0, 30.04));
}

TEST_CASE("A boundary can be set to the end of the recording", "[timeline]") {
  const CaseClock clock(Recordings({60}));
  const auto layout = LayOutMoment(clock, {}, {Table(60)}, At(0, 59.96), 4, 0, 1000, 100);
  CHECK(BoundaryAt(layout, 900, At(0, 60)) == At(0, 60));
  CHECK(BoundaryAt(layout, 900, {}) == At(0, 59.96));
}

TEST_CASE("No recording, no width, no length: empty layouts", "[timeline]") {
  const CaseClock clock;
  CHECK(LayOutOperation(clock, {}, 0, 0).bands.empty());
  CHECK(LayOutMoment(clock, {}, {}, {}, 4, 0, 1000, 100).frames.empty());
  CHECK(LayOutMoment(clock, {}, {nullptr, Table(1)}, {}, 0, 0, 0, 100).frames.empty());
  CHECK_FALSE(BoundaryAt({}, 3, {}).has_value());
}

TEST_CASE("The other hand lies in a lane of its own, with its own boundaries", "[timeline]") {
  const CaseClock clock(Recordings({60, 40}));
  Review review;
  review.visits = {Visit("v1", "rhexis", At(0, 10), At(0, 30)),
                   Visit("v2", "side_port", At(0, 10), At(0, 20))};
  review.visits[1].lane = 1;
  const auto operation = LayOutOperation(clock, review, 0, 1000);
  REQUIRE(operation.bands.size() == 1);
  REQUIRE(operation.other_hand.size() == 1);
  CHECK(operation.other_hand[0].step == "side_port");
  const auto moment = LayOutMoment(clock, review, {Table(60), Table(40)}, At(0, 10), 4, 0, 1000, 100);
  REQUIRE(moment.boundaries.size() == 2);  // both start at this frame, and neither moves with the other
  CHECK(moment.boundaries[0].lane != moment.boundaries[1].lane);
  const float x = moment.boundaries[0].x;
  REQUIRE(HitMoment(moment, x, 5, 1).boundary != nullptr);
  CHECK(HitMoment(moment, x, 5, 1).boundary->starting == VisitId{"v2"});
  CHECK(HitMoment(moment, x, 5, 0).boundary->starting == VisitId{"v1"});
  CHECK(HitOperation(operation, 150, 5, 1).band->step == "side_port");
}

}  // namespace afterscope

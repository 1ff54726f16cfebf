// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/debrief/debrief.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef At(double seconds) { return {0, {static_cast<std::int64_t>(seconds * 1000)}}; }

CaseClock Clock() {
  RecordingRef recording;
  recording.shape.time_base = {1, 1000};
  recording.shape.end = {60'000};
  return CaseClock({recording});
}

Review Noted() {
  Review review;
  const auto add = [&](const char* id, double seconds, MomentKind kind) {
    review.moments.push_back({MomentId{id}, At(seconds), kind, {}, {}, {}});
  };
  add("a", 4, MomentKind::kRemark);
  add("b", 20, MomentKind::kSettings);
  add("c", 30, MomentKind::kComplication);
  add("d", 40, MomentKind::kCheck);
  add("e", 59, MomentKind::kTeachingPoint);
  return review;
}

}  // namespace

TEST_CASE("Settings and checks are not talked over", "[debrief]") {
  const Review review = Noted();
  const auto moments = DebriefMoments(review);
  REQUIRE(moments.size() == 3);
  CHECK(moments[1]->id == MomentId{"c"});
}

TEST_CASE("One key goes from moment to moment and round", "[debrief]") {
  const Review review = Noted();
  const auto moments = DebriefMoments(review);
  CHECK(NextMoment(moments, {}, 1)->id == MomentId{"a"});
  CHECK(NextMoment(moments, {}, -1)->id == MomentId{"e"});
  CHECK(NextMoment(moments, MomentId{"a"}, 1)->id == MomentId{"c"});
  CHECK(NextMoment(moments, MomentId{"e"}, 1)->id == MomentId{"a"});
  CHECK(NextMoment(moments, MomentId{"a"}, -1)->id == MomentId{"e"});
  CHECK(NextMoment(moments, MomentId{"removed"}, 1)->id == MomentId{"a"});
  CHECK(NextMoment({}, {}, 1) == nullptr);
}

TEST_CASE("Outside the debrief the same key goes on from the playhead", "[debrief]") {
  const Review review = Noted();
  const auto moments = DebriefMoments(review);
  CHECK(MomentBeside(moments, At(10), 1)->id == MomentId{"c"});
  CHECK(MomentBeside(moments, At(30), 1)->id == MomentId{"e"});
  CHECK(MomentBeside(moments, At(30), -1)->id == MomentId{"a"});
  CHECK(MomentBeside(moments, At(59), 1) == nullptr);
  CHECK(MomentBeside(moments, At(4), -1) == nullptr);
}

TEST_CASE("A moment is played from ten seconds before, within the case", "[debrief]") {
  const Review review = Noted();
  const auto moments = DebriefMoments(review);
  const PlayPlan middle = DebriefPlan(*moments[1], Clock());
  CHECK(middle.loop);
  CHECK(middle.stretches == std::vector{HalfOpen<FrameRef>{At(20), At(33)}});
  CHECK(DebriefPlan(*moments[0], Clock()).stretches == std::vector{HalfOpen<FrameRef>{At(0), At(7)}});
  CHECK(DebriefPlan(*moments[2], Clock()).stretches == std::vector{HalfOpen<FrameRef>{At(49), At(60)}});
}

}  // namespace afterscope

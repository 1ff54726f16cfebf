// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/frame_runs.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

CaseClock ClockOfTwelve() {
  RecordingRef recording;
  recording.shape.time_base = {1, 10};
  recording.shape.end = {12};
  return CaseClock({recording});
}

}  // namespace

TEST_CASE("Frames without a believed tip are runs, one set by hand ends them", "[follow]") {
  FollowedTrail trail;
  trail.range = {{0}, {12}};
  trail.least_confidence = 0.6;
  for (std::int64_t i = 0; i < 12; ++i) trail.tips.push_back({{0, {i}}, PointPx{1, 1}, false, 0.9});
  trail.tips[2].confidence = 0.5;
  trail.tips[3].tip.reset();  // surely not to be seen: no place all the same
  trail.tips[4] = {{0, {4}}, PointPx{1, 1}, true, 0.1};
  trail.tips[5].tip.reset();
  trail.tips[10].confidence = trail.tips[11].confidence = 0;
  const auto runs = RunsWithoutTip(trail, ClockOfTwelve());
  REQUIRE(runs.size() == 3);
  CHECK(runs[0].range == HalfOpen<FrameRef>{{0, {2}}, {0, {4}}});
  CHECK(runs[0].frames == 2);
  CHECK(runs[0].seconds == Approx(0.2));
  CHECK(runs[1].range == HalfOpen<FrameRef>{{0, {5}}, {0, {6}}});
  CHECK(runs[2].range == HalfOpen<FrameRef>{{0, {10}}, {0, {12}}});
  // The longest, each where it was; of equal ones the earlier.
  const auto longest = LongestRuns(runs, 2);
  REQUIRE(longest.size() == 2);
  CHECK(longest[0].range == runs[0].range);
  CHECK(longest[1].range == runs[2].range);
  CHECK(LongestRuns(runs, 1).at(0).range == runs[0].range);
  CHECK(LongestRuns(runs, 20).size() == 3);
}

TEST_CASE("Frames on which the eye was lost are runs, up to where it was followed", "[follow]") {
  FollowedEye eye;
  eye.range = {{0}, {12}};
  eye.complete = true;
  CHECK(RunsWithoutEye(eye, ClockOfTwelve()).empty());
  for (std::int64_t i = 0; i < 9; ++i) {
    eye.frames.push_back({{0, {i}}, {}});
    eye.frames.back().pose.trust = i == 0 || i >= 7 ? 0.2 : kLeastTrust;
  }
  auto runs = RunsWithoutEye(eye, ClockOfTwelve());
  REQUIRE(runs.size() == 2);
  CHECK(runs[0].range == HalfOpen<FrameRef>{{0, {0}}, {0, {1}}});
  CHECK(runs[1].range == HalfOpen<FrameRef>{{0, {7}}, {0, {12}}});
  eye.complete = false;
  runs = RunsWithoutEye(eye, ClockOfTwelve());
  CHECK(runs.at(1).range.end == FrameRef{0, {8}});
  CHECK(runs.at(1).frames == 2);
}

}  // namespace afterscope

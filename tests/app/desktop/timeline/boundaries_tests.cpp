// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/boundaries.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef At(std::int64_t ticks) { return {0, Pts{ticks}}; }

Review TwoVisits() {
  Review review;
  StepVisit a;
  a.id = {"a"};
  a.start = At(100);
  a.end = At(200);
  StepVisit b;
  b.id = {"b"};
  b.start = At(200);
  b.end = At(260);
  review.visits = {a, b};
  return review;
}

CaseClock Clock() {
  RecordingRef ref;
  ref.shape.time_base = {1, 100};
  ref.shape.end = Pts{400};
  return CaseClock({ref});
}

Tables OneTable() {
  std::vector<FrameEntry> frames;
  for (int i = 0; i < 100; ++i) frames.push_back({Pts{4 * i}, TickSpan{4}, false, -1, false});
  return {std::make_shared<FrameTable>(frames, Rational{1, 100}, TableState::kVerified)};
}

}  // namespace

TEST_CASE("Jumping goes from boundary to boundary and ends at the last", "[timeline]") {
  const Review review = TwoVisits();
  CHECK(NextBoundary(review, At(0), 1) == At(100));
  CHECK(NextBoundary(review, At(100), 1) == At(200));
  CHECK(NextBoundary(review, At(210), -1) == At(200));
  CHECK_FALSE(NextBoundary(review, At(260), 1));
  CHECK_FALSE(NextBoundary({}, At(0), 1));
}

TEST_CASE("The nearest boundary is the start where an end lies on it", "[timeline]") {
  const auto nearest = NearestBoundary(TwoVisits(), Clock(), At(190));
  REQUIRE(nearest);
  CHECK(nearest->at == At(200));
  CHECK(nearest->visit == VisitId{"b"});
  CHECK(nearest->edge == VisitEdge::kStart);
  CHECK_FALSE(NearestBoundary({}, Clock(), At(190)));
}

TEST_CASE("A boundary is nudged by frames, as far as the end of the recording", "[timeline]") {
  const Tables tables = OneTable();
  CHECK(NudgedBoundary(tables, At(200), 1) == At(204));
  CHECK(NudgedBoundary(tables, At(200), -1) == At(196));
  CHECK(NudgedBoundary(tables, At(396), 1) == At(400));
  CHECK(NudgedBoundary(tables, At(400), 1) == At(400));
  CHECK(NudgedBoundary(tables, At(400), -1) == At(396));
  CHECK(NudgedBoundary(tables, At(0), -1) == At(0));
  CHECK(NudgedBoundary({}, At(200), 1) == At(200));
}

}  // namespace afterscope

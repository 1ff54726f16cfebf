// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/drafts/draft_walk.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

// One recording of 100 s in milliseconds.
CaseClock Clock() {
  RecordingRef recording;
  recording.shape.end = Pts{100'000};
  return CaseClock({recording});
}

Draft DraftAt(const char* id, std::int64_t ticks, DraftState state = DraftState::kOpen) {
  Draft draft;
  draft.id = DraftId{id};
  draft.start = {0, Pts{ticks}};
  draft.key = "rhexis";
  draft.state = state;
  return draft;
}

Review ThreeDrafts() {
  Review review;
  review.drafts = {DraftAt("d1", 1000), DraftAt("d2", 2000), DraftAt("d3", 3000)};
  return review;
}

}  // namespace

TEST_CASE("Drafts are gone through in order, from the last to the first again", "[drafts]") {
  const Review review = ThreeDrafts();
  DraftWalk walk;
  CHECK(FollowDrafts(walk, review));
  CHECK(walk.at == DraftId{"d1"});
  CHECK_FALSE(FollowDrafts(walk, review));
  MoveAlong(walk, -1);
  CHECK(walk.at == DraftId{"d3"});
  MoveAlong(walk, 1);
  CHECK(walk.at == DraftId{"d1"});
}

TEST_CASE("An answered draft gives way to the next, and undo brings it back", "[drafts]") {
  Review review = ThreeDrafts();
  DraftWalk walk;
  FollowDrafts(walk, review);
  MoveAlong(walk, 1);
  review.drafts[1].state = DraftState::kAccepted;
  CHECK(FollowDrafts(walk, review));
  CHECK(walk.at == DraftId{"d3"});
  review.drafts[2].state = DraftState::kRefused;
  CHECK(FollowDrafts(walk, review));
  CHECK(walk.at == DraftId{"d1"});
  review.drafts[2].state = DraftState::kOpen;
  CHECK(FollowDrafts(walk, review));
  CHECK(walk.at == DraftId{"d3"});
}

TEST_CASE("With no open draft there is none before the eyes", "[drafts]") {
  Review review = ThreeDrafts();
  DraftWalk walk;
  FollowDrafts(walk, review);
  for (Draft& draft : review.drafts) draft.state = DraftState::kRefused;
  CHECK_FALSE(FollowDrafts(walk, review));
  CHECK_FALSE(walk.at.has_value());
  MoveAlong(walk, 1);
  CHECK(DraftOf(review, walk.at) == nullptr);
  CHECK(CountDrafts(review, DraftState::kRefused) == 3);
}

TEST_CASE("A draft that is moved keeps its length, and stays within the case", "[drafts]") {
  Draft draft = DraftAt("d1", 10'000);
  CHECK_FALSE(MovedTo(draft, {0, Pts{20'000}}, Clock()).second.has_value());
  draft.end = FrameRef{0, Pts{30'000}};
  const auto moved = MovedTo(draft, {0, Pts{40'000}}, Clock());
  CHECK(moved.first == FrameRef{0, Pts{40'000}});
  CHECK(moved.second == FrameRef{0, Pts{60'000}});
  CHECK(MovedTo(draft, {0, Pts{95'000}}, Clock()).second == FrameRef{0, Pts{100'000}});
}

TEST_CASE("A draft says what it is, when, and how sure its words make it", "[drafts]") {
  StepList steps;
  steps.steps.push_back({"rhexis", "Rhexis", "r", false});
  Draft draft = DraftAt("d1", 62'500);
  CHECK(DraftTitle(draft, steps) == "Step: Rhexis");
  CHECK(DraftTimes(draft, Clock()) == "1:02.5");
  draft.end = FrameRef{0, Pts{70'000}};
  CHECK(DraftTimes(draft, Clock()) == "1:02.5 – 1:10.0");
  draft.kind = DraftKind::kFollowUp;
  draft.key = "capsule_haze";
  CHECK(DraftTitle(draft, steps) == "Follow-up: capsule haze");
  CHECK(SureWords(0.85) == "quite sure, 85 %");
  CHECK(SureWords(0.5) == "likely, 50 %");
  CHECK(SureWords(0.1) == "unsure, 10 %");
}

}  // namespace afterscope

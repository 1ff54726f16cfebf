// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/case_clock.hpp"
#include "app/desktop/follow/following.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef At(std::int64_t ticks) { return {0, {ticks}}; }

Review WithPoints(std::vector<TrailPoint> points) {
  Review review;
  Trail trail;
  trail.id = {"t1"};
  trail.points = std::move(points);
  review.trails = {trail};
  return review;
}

// A hundred frames, believed but for two stretches.
Followed Tips() {
  FollowedTrail trail;
  trail.trail = {"t1"};
  trail.range = {{0}, {1000}};
  trail.least_confidence = 0.8;
  for (int i = 0; i < 100; ++i) {
    FollowedTip tip{At(10 * i), PointPx{5, 5}, i == 0, 0.95};
    if (i >= 30 && i < 35) tip.confidence = 0.5;
    if (i == 70) tip.confidence = 0.2;
    trail.tips.push_back(tip);
  }
  Followed out;
  out.trails = {trail};
  return out;
}

}  // namespace

TEST_CASE("The trail that is followed has the nearest point set by hand, not a followed one") {
  Review review = WithPoints(
      {{At(10), {1, 1}, TrailSource::kCorrected, 1}, {At(200), {1, 1}, TrailSource::kFollowed, 0.9}});
  Trail other;
  other.id = {"t2"};
  other.points = {{At(50), {1, 1}, TrailSource::kHand, 1}};
  review.trails.push_back(other);
  RecordingRef recording;
  recording.shape.time_base = {1, 10};
  recording.shape.end = {10000};
  const CaseClock clock({recording});
  REQUIRE(TrailNear(review, clock, At(12)));
  CHECK(TrailNear(review, clock, At(12))->id.value == "t1");
  CHECK(TrailNear(review, clock, At(40))->id.value == "t2");
  CHECK_FALSE(TrailNear(review, clock, At(200)));  // 15 s from a point set by hand
}

TEST_CASE("The eye is followed through a case once it is through each of its recordings") {
  std::vector<RecordingRef> recordings(2);
  for (RecordingRef& r : recordings) r.shape.time_base = {1, 10}, r.shape.end = {1000};
  Followed followed;
  for (const int recording : {0, 1}) {
    CHECK_FALSE(EyeIsFollowed(followed, recordings));
    FollowedEye eye;
    eye.recording = recording, eye.range = {{0}, {1000}}, eye.complete = true;
    followed.eyes.push_back(eye);
  }
  CHECK(EyeIsFollowed(followed, recordings));
  followed.eyes[1].complete = false;  // stopped
  CHECK_FALSE(EyeIsFollowed(followed, recordings));
  followed.eyes[1].complete = true, followed.eyes[1].range.start = {500};  // along with a tip
  CHECK_FALSE(EyeIsFollowed(followed, recordings));
  CHECK_FALSE(EyeIsFollowed({}, {}));
}

TEST_CASE("Doubtful frames are offered worst first, each once, until one is answered") {
  Following following({});
  CHECK_FALSE(following.NextOffer());
  following.Take(Tips());
  const auto first = following.NextOffer();
  REQUIRE(first);
  CHECK(first->at == At(700));
  CHECK(first->left == 2);
  CHECK_FALSE(following.TakeAnswered(WithPoints({})));
  const auto second = following.NextOffer();
  REQUIRE(second);
  CHECK(second->at == At(300));
  const auto answered = following.TakeAnswered(WithPoints({{At(300), {1, 1}, TrailSource::kCorrected, 1}}));
  REQUIRE(answered);
  CHECK(answered->value == "t1");
  CHECK_FALSE(following.TakeAnswered(WithPoints({{At(300), {1, 1}, TrailSource::kCorrected, 1}})));
  CHECK_FALSE(following.NextOffer());
}

}  // namespace afterscope

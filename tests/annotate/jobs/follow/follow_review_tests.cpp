// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/follow_review.hpp"
#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/store/followed_files.hpp"
#include "tests/support/phantom_cases.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::size_t kFrames = 60;

// An instrument in an eye for two and a half seconds, recorded, with two points set on its tip.
struct SmallCase {
  TemporaryFolder folder;
  CaseRecord record;
  Review review;
  std::vector<FrameRef> frames;
  std::vector<PointPx> tips;
};

void Record(SmallCase& out) {
  const ToolStretch stretch(kFrames);
  const PhantomFrames frames = Recorded(stretch.phantom, stretch.seconds, out.folder / "a.mp4");
  out.record.recordings = frames.recordings;
  out.record.recordings[0].path = "a.mp4";
  out.frames = frames.refs;
  out.tips = stretch.tips;
  out.review.id = {"r1"};
  Trail trail;
  trail.id = {"t1"};
  for (const std::size_t i : {std::size_t{8}, std::size_t{45}})
    trail.points.push_back({out.frames[i], out.tips[i], TrailSource::kHand, 1});
  out.review.trails = {trail};
}

// Stopped when the tip was looked for on `most` pictures.
Result<FollowOutcome> Follow(const SmallCase& c, std::size_t most, std::size_t& looked) {
  FollowRequest request;
  looked = 0;
  request.watch = [&](const Picture&, std::optional<PointPx>) { ++looked; };
  return FollowReview(c.folder.path(), c.record, c.review, request, {}, [&] { return looked >= most; });
}

}  // namespace

TEST_CASE("Following that was stopped goes on from there, and a new point costs its two stretches",
          "[follow]") {
  SmallCase c;
  Record(c);
  std::size_t looked = 0;
  const auto stopped = Follow(c, 20, looked);
  REQUIRE_FALSE(stopped.ok());
  CHECK(stopped.error().code == ErrorCode::kStopped);
  CHECK(looked == 20);
  const auto whole = Follow(c, 1000, looked);
  REQUIRE(whole.ok());
  CHECK(looked == kFrames - 2 - 20);
  const FollowedTrail& trail = whole->followed.trails.at(0);
  REQUIRE(trail.tips.size() == kFrames);
  // The phantom's own truth; 0.3 mm, which is what a believed place stands for.
  int believed = 0, off = 0;
  for (std::size_t i = 0; i < kFrames; ++i) {
    if (!trail.tips[i].tip || trail.tips[i].confidence < trail.least_confidence) continue;
    ++believed;
    off += Distance(*trail.tips[i].tip, c.tips[i]) > 0.3 * 11;
  }
  CHECK(believed >= 20);  // two points are little to prove it by
  CHECK(off <= 1);
  // Again, with nothing changed: nothing is looked at.
  REQUIRE(Follow(c, 1000, looked).ok());
  CHECK(looked == 0);
  // A third point: only the frames up to its neighbours.
  c.review.trails[0].points.insert(c.review.trails[0].points.begin() + 1,
                                   {c.frames[25], c.tips[25], TrailSource::kCorrected, 1});
  REQUIRE(Follow(c, 1000, looked).ok());
  CHECK(looked == 45 - 8 - 2);
  // The way that its shaft lies, said by the hand: the same frames again.
  c.review.trails[0].points[1].shaft = c.tips[25] + OffsetPx{40, 30};
  REQUIRE(Follow(c, 1000, looked).ok());
  CHECK(looked == 45 - 8 - 2);
}

TEST_CASE("The eye alone is followed through all recordings, on from where it was stopped, and trails hold",
          "[follow]") {
  SmallCase c;
  Record(c);
  c.record.recordings.push_back(c.record.recordings[0]);  // the same pictures again
  std::size_t looked = 0;
  FollowRequest tip;
  tip.trail = TrailId{"t1"}, tip.from = c.frames[5], tip.to = c.frames[50];
  tip.watch = [&](const Picture&, std::optional<PointPx>) { ++looked; };
  const auto followed_tip = FollowReview(c.folder.path(), c.record, c.review, tip, {}, {});
  REQUIRE(followed_tip.ok());
  REQUIRE(followed_tip->followed.eyes.size() == 1);
  CHECK(looked > 0);
  looked = 0;

  FollowRequest eye;
  eye.only_eye = true;
  eye.watch = tip.watch;
  double share = 0;
  const Progress progress = [&](double done) { share = std::max(share, done); };
  const auto stopped =
      FollowReview(c.folder.path(), c.record, c.review, eye, progress, [&] { return share > 0.6; });
  REQUIRE_FALSE(stopped.ok());
  CHECK(stopped.error().code == ErrorCode::kStopped);
  // What was done is kept: the first recording whole, a part of the second.
  const Followed kept = LoadFollowed(c.folder.path(), c.review.id);
  REQUIRE(EyeOf(kept, 0) != nullptr);
  CHECK(EyeOf(kept, 0)->complete);
  CHECK(EyeOf(kept, 0)->frames.size() == kFrames);
  REQUIRE(EyeOf(kept, 1) != nullptr);
  const std::size_t done = EyeOf(kept, 1)->frames.size();
  CHECK(done > 0);
  CHECK(done < kFrames);

  share = 0;
  double first = 0;
  const auto whole = FollowReview(c.folder.path(), c.record, c.review, eye,
                                  [&](double now) {
                                    if (first == 0) first = now;
                                  },
                                  {});
  REQUIRE(whole.ok());
  CHECK(first > 0.5);  // it goes on, and does not begin again
  REQUIRE(whole->followed.eyes.size() == 2);
  for (const FollowedEye& e : whole->followed.eyes) {
    CHECK(e.complete);
    CHECK(e.frames.size() == kFrames);
  }
  // The trail was followed on the same reference frame: it holds, and no picture was looked at for it.
  CHECK(whole->followed.trails.size() == 1);
  CHECK(looked == 0);
  CHECK(EyeOf(whole->followed, 0)->reference == followed_tip->followed.eyes[0].reference);
}

TEST_CASE("Following asks for a trail that is there and a stretch that is one", "[follow]") {
  SmallCase c;
  Record(c);
  FollowRequest request;
  request.trail = TrailId{"other"};
  CHECK(FollowReview(c.folder.path(), c.record, c.review, request, {}, {}).error().code ==
        ErrorCode::kBadCall);
  request.trail.reset();
  request.from = c.frames[9], request.to = c.frames[9];
  CHECK(FollowReview(c.folder.path(), c.record, c.review, request, {}, {}).error().code ==
        ErrorCode::kBadCall);
  c.record.recordings.clear();
  CHECK(FollowReview(c.folder.path(), c.record, c.review, {}, {}, {}).error().code == ErrorCode::kUnreadable);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/followed.hpp"
#include "annotate/jobs/follow/eye_track.hpp"
#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/jobs/follow/trail_memory.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef AtTicks(std::int64_t ticks) { return {0, {ticks}}; }

Trail HandTrail() {
  Trail trail;
  trail.id = {"t1"};
  trail.points = {{AtTicks(0), {10, 10}, TrailSource::kHand, 1},
                  {AtTicks(50), {60, 10}, TrailSource::kHand, 1}};
  return trail;
}

// Frames every 10 ticks, believed but for 20 (not seen) and 30 (doubted).
FollowedTrail Tips() {
  FollowedTrail out;
  out.trail = {"t1"};
  out.range = {{0}, {60}};
  out.least_confidence = 0.8;
  for (int i = 0; i < 6; ++i) {
    FollowedTip tip{AtTicks(10 * i), PointPx{10.0 + 10 * i, 11}, i == 0 || i == 5, 0.95};
    if (i == 2) tip.tip.reset();
    if (i == 3) tip.confidence = 0.5;
    out.tips.push_back(tip);
  }
  return out;
}

CaseRecord OneRecording() {
  CaseRecord record;
  record.recordings.resize(1);
  record.recordings[0].shape = {{1, 100}, {0}, {1000}, 640, 480, {1, 1}, 0, true};
  record.recordings[0].fingerprint.sampled_sha256 = "aa";
  return record;
}

}  // namespace

TEST_CASE("Believed places fill a trail; the others are one gap that is not bridged", "[follow]") {
  const Trail whole = WithFollowed(HandTrail(), Tips());
  REQUIRE(whole.points.size() == 4);
  CHECK(whole.points[0].tip == PointPx{10, 10});  // as set by hand
  CHECK(whole.points[1].at == AtTicks(10));
  CHECK(whole.points[1].source == TrailSource::kFollowed);
  CHECK(whole.points[2].at == AtTicks(40));
  REQUIRE(whole.gaps.size() == 1);
  CHECK(whole.gaps[0].range == HalfOpen<FrameRef>{AtTicks(20), AtTicks(40)});
  CHECK_FALSE(whole.gaps[0].out_of_eye);
}

TEST_CASE("A gap marked by hand stays, and nothing is followed into it", "[follow]") {
  Trail trail = HandTrail();
  trail.gaps = {{{AtTicks(10), AtTicks(50)}, true}};
  const Trail whole = WithFollowed(trail, Tips());
  CHECK(whole.points == trail.points);
  CHECK(whole.gaps == trail.gaps);
}

TEST_CASE("A followed trail holds until its points, its gaps or the recording change", "[follow]") {
  const CaseRecord record = OneRecording();
  Review review;
  review.trails = {HandTrail()};
  Followed followed;
  followed.trails = {Tips()};
  followed.trails[0].input_digest = TrailDigest(record, review.trails[0], followed.trails[0], nullptr);
  std::vector<std::string> outdated;
  CHECK(CurrentOf(followed, record, review, &outdated).trails.size() == 1);
  CHECK(outdated.empty());

  Review moved = review;
  moved.trails[0].points[1].tip.x += 1;
  CHECK(CurrentOf(followed, record, moved, &outdated).trails.empty());
  CHECK(outdated.size() == 1);
  Review gap = review;
  gap.trails[0].gaps = {{{AtTicks(10), AtTicks(20)}, false}};
  CHECK(CurrentOf(followed, record, gap, nullptr).trails.empty());
  CaseRecord other = record;
  other.recordings[0].fingerprint.sampled_sha256 = "bb";
  CHECK(CurrentOf(followed, other, review, nullptr).trails.empty());
  CHECK(CurrentOf(followed, record, {}, nullptr).trails.empty());
}

TEST_CASE("The eye's track interpolates over half a second and no more; shift, turn and zoom are undone",
          "[follow]") {
  FollowedEye eye;
  eye.reference_eye.limbus.ellipse = {{100, 100}, 130, 130, {}};
  const auto add = [&](std::int64_t ticks, PointPx origin, double zoom, double degrees, double trust) {
    EyePose pose;
    pose.origin = origin, pose.zoom = zoom, pose.turn = Angle::Degrees(degrees), pose.trust = trust;
    eye.frames.push_back({AtTicks(ticks), pose});
  };
  add(0, {100, 100}, 1, 0, 1);
  add(40, {120, 100}, 2, 90, 1);
  add(140, {140, 100}, 2, 90, 1);
  add(150, {500, 500}, 3, 90, 0.1);  // not trusted, and the eye comes back
  add(160, {141, 100}, 2, 90, 1);
  add(170, {500, 500}, 3, 90, 0.1);  // not trusted, and the eye is elsewhere afterwards
  add(180, {160, 100}, 2, 90, 1);
  const CaseClock clock(OneRecording().recordings);
  const EyeTrack track(eye, clock);
  REQUIRE(track.At(0.2));
  CHECK(track.At(0.2)->origin.x == Approx(110));
  CHECK(track.At(0.2)->zoom == Approx(1.5));
  CHECK(track.At(0.2)->turn.degrees() == Approx(45));
  CHECK_FALSE(track.At(0.9));
  REQUIRE(track.At(1.5));
  CHECK(track.At(1.5)->origin.x == Approx(140.5));
  REQUIRE(track.At(1.6));
  CHECK_FALSE(track.At(1.7));
  REQUIRE(track.At(1.8));
  CHECK(track.At(1.8)->origin.x == 160);
  CHECK_FALSE(track.At(2));
  // 10 right of the centre in the eye's frame: turned by 90 degrees (x towards y) and twice as far.
  const auto back = track.InEye({120, 120}, 0.4);
  REQUIRE(back);
  CHECK(back->x == Approx(110));
  CHECK(back->y == Approx(100));
  CHECK(track.ZoomAt(0.4).value() == 2);
}

TEST_CASE("What was seen on frames is kept and read back; a damaged file is forgotten", "[follow]") {
  const TemporaryFolder folder;
  TrailMemory memory;
  TipCandidate likely, other;
  likely.pose = {{1.5, 2.5}, Angle::Degrees(30)}, likely.odds = 2.25;
  likely.evidence.behind = 12.5, likely.evidence.seconds = 0.75;
  other.pose = {{3, 4}, Angle::Degrees(-30)}, other.odds = -0.5;
  for (std::size_t i = 0; i < other.glimpse.values.size(); ++i)
    other.glimpse.values[i] = static_cast<std::int8_t>(static_cast<int>(i * 37 % 255) - 127);
  memory["d1"][{40}] = {likely, other};
  memory["d1"][{80}] = {};
  const std::string path = folder / "cache/follow/x.json";
  REQUIRE(SaveTrailMemory(path, memory, RealFileSystem()).ok());
  const TrailMemory read = LoadTrailMemory(path, RealFileSystem());
  REQUIRE(read.contains("d1"));
  REQUIRE(read.at("d1").size() == 2);
  CHECK(read.at("d1").at({80}).empty());
  CHECK(read.at("d1").at({40})[1].pose.tip == PointPx{3, 4});
  CHECK(read.at("d1").at({40})[1].pose.shaft.degrees() == Approx(-30));
  CHECK(read.at("d1").at({40})[0].odds == 2.25);
  CHECK(read.at("d1").at({40})[0].evidence.behind == 12.5);
  CHECK(read.at("d1").at({40})[0].evidence.seconds == 0.75);
  CHECK(Likeness(read.at("d1").at({40})[1].glimpse, other.glimpse) > 0.999);
  REQUIRE(ReplaceFile(RealFileSystem(), path, R"({"d1": [[40, 1, 2]]})").ok());
  CHECK(LoadTrailMemory(path, RealFileSystem()).empty());
}

}  // namespace afterscope

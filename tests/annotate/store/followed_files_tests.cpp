// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/followed_files.hpp"
#include "tests/annotate/store/fault_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <limits>

namespace afterscope {
namespace {

const ReviewId kReview{"r1"};

FollowedEye SomeEye() {
  FollowedEye eye;
  eye.recording = 1;
  eye.input_digest = "abc";
  eye.range = {{0}, {9000}};
  eye.reference = {40};
  eye.reference_eye.limbus.ellipse = {{320.5, 240.25}, 131, 120, Angle::Degrees(12)};
  eye.reference_eye.limbus.trust = 0.9;
  EyePose pose;
  pose.origin = {318, 241}, pose.zoom = 1.25, pose.turn = Angle::Degrees(-2), pose.trust = 0.75;
  eye.frames = {{{1, {0}}, pose}, {{1, {40}}, {}}};
  eye.sights = {{{1, {40}}, eye.reference_eye, 0.4}};
  return eye;
}

FollowedTrail SomeTrail() {
  return {{"t1"}, "def",
          0,      {{0}, {80}},
          0.8,    {{{0, {0}}, PointPx{10.5, 20}, true, 1}, {{0, {40}}, std::nullopt, false, 0.25}}};
}

}  // namespace

TEST_CASE("What was followed is read back as it was", "[store][follow]") {
  const TemporaryFolder folder;
  REQUIRE(SaveFollowed(folder.path(), kReview, SomeEye(), RealFileSystem()).ok());
  REQUIRE(SaveFollowed(folder.path(), kReview, SomeTrail(), RealFileSystem()).ok());
  const Followed read = LoadFollowed(folder.path(), kReview);
  REQUIRE(read.eyes.size() == 1);
  const FollowedEye& eye = read.eyes[0];
  CHECK(eye.recording == 1);
  CHECK(eye.range == SomeEye().range);
  CHECK(eye.reference_eye.limbus.ellipse.center == PointPx{320.5, 240.25});
  REQUIRE(eye.frames.size() == 2);
  CHECK(eye.frames[0].pose.zoom == 1.25);
  CHECK(eye.frames[0].pose.turn.degrees() == Approx(-2));
  CHECK(eye.sights.at(0).sharpness == 0.4);
  REQUIRE(read.trails.size() == 1);
  CHECK(read.trails[0].trail.value == "t1");
  REQUIRE(read.trails[0].tips.size() == 2);
  CHECK(read.trails[0].tips[0].tip == PointPx{10.5, 20});
  CHECK(read.trails[0].tips[0].by_hand);
  CHECK_FALSE(read.trails[0].tips[1].tip);
}

TEST_CASE("A damaged file of what was followed is as good as none", "[store][follow]") {
  const TemporaryFolder folder;
  REQUIRE(SaveFollowed(folder.path(), kReview, SomeTrail(), RealFileSystem()).ok());
  const std::string path = folder / "reviews/r1/followed/trail-t1-0.json";
  const auto whole = RealFileSystem().ReadAll(path, 1 << 20);
  REQUIRE(whole.ok());
  for (std::size_t length = 0; length + 2 < whole->size(); length += 7) {
    std::ofstream(path, std::ios::binary) << whole->substr(0, length);
    CHECK(LoadFollowed(folder.path(), kReview).trails.empty());
  }
  std::ofstream(path, std::ios::binary)
      << R"({"format": "afterscope followed trail", "version": 1, "tips": [[1]]})";
  CHECK(LoadFollowed(folder.path(), kReview).trails.empty());
  CHECK(LoadFollowed(folder / "nowhere", kReview).eyes.empty());
}

TEST_CASE("What can't be kept of following is said", "[store][follow]") {
  const TemporaryFolder folder;
  WatchedFiles files(RealFileSystem(), [](int, const std::string& what) -> Status {
    return Error{ErrorCode::kUnwritable, what + " failed"};
  });
  const Status saved = SaveFollowed(folder.path(), kReview, SomeEye(), files);
  REQUIRE_FALSE(saved.ok());
  CHECK(saved.error().code == ErrorCode::kUnwritable);
}

TEST_CASE("Followed files of no recording, or at times that can't be, are passed over", "[store][follow]") {
  FollowedEye none = SomeEye(), late = SomeEye();
  none.recording = -1;
  late.sights[0].at.pts.ticks = std::numeric_limits<std::int64_t>::max();
  FollowedTrail trail = SomeTrail();
  trail.recording = -1;
  const TemporaryFolder folder;
  REQUIRE(SaveFollowed(folder.path(), kReview, none, RealFileSystem()).ok());
  REQUIRE(SaveFollowed(folder.path(), kReview, late, RealFileSystem()).ok());
  REQUIRE(SaveFollowed(folder.path(), kReview, trail, RealFileSystem()).ok());
  const Followed read = LoadFollowed(folder.path(), kReview);
  CHECK(read.eyes.empty());
  CHECK(read.trails.empty());
}

}  // namespace afterscope

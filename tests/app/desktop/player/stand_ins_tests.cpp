// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/small_picture_file.hpp"
#include "annotate/media/table_store.hpp"
#include "app/desktop/player/light_copy.hpp"
#include "app/desktop/player/stand_ins.hpp"
#include "metrics/picture/shrink.hpp"
#include "tests/app/desktop/player/player_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

namespace afterscope {
namespace {

// Of MovingRecording, in seconds.
constexpr double kFrame = 1.0 / 25;
constexpr double kBetweenKeys = 5;

double Away(const Picture& picture, Pts pts, const Recording& recording) {
  return std::abs((picture.frame.pts - pts).Seconds(recording.info().time_base));
}

// Mean over the samples; the pictures are of one size.
double LumaDifference(const Picture& a, const Picture& b) {
  const PlaneView& from = a.planes[0];
  const PlaneView& to = b.planes[0];
  REQUIRE(from.width == to.width);
  REQUIRE(from.height == to.height);
  double sum = 0;
  for (int y = 0; y < from.height; ++y)
    for (int x = 0; x < from.width; ++x)
      sum += std::abs(int{from.data[y * from.stride + x]} - int{to.data[y * to.stride + x]});
  return sum / from.width / from.height;
}

}  // namespace

TEST_CASE("Places go from coarse to fine", "[player]") {
  std::vector<std::int64_t> ticks;
  for (const Pts pts : CoarseToFine({100}, {180}, 8)) ticks.push_back(pts.ticks);
  CHECK(ticks == std::vector<std::int64_t>{100, 140, 120, 160, 110, 130, 150, 170});
  CHECK(CoarseToFine({5}, {5}, 10).empty());
  CHECK(CoarseToFine({5}, {4}, 10).empty());
}

TEST_CASE("Every place of a recording soon has a small picture near it, and keeps it", "[player]") {
  const TemporaryFolder folder;
  const auto recording = Opened(MovingRecording(folder, "moving.mp4", 20), folder.path());
  const std::string cache = folder / "cache";
  const auto last = recording->Shape().end + TickSpan{-1};
  {
    StandIns stand_ins([] {});
    CHECK_FALSE(stand_ins.Nearest({0, {0}}));
    stand_ins.Add(recording, 2, cache);
    REQUIRE(ComesTrue([&] {
      const auto near = stand_ins.Nearest({2, last});
      return near && Away(*near, last, *recording) <= kFrame;
    }));
    const auto near = stand_ins.Nearest({2, last});
    CHECK(near->frame.recording == 2);
    CHECK(near->width == 320);
    CHECK(near->height == 240);
    CHECK_FALSE(stand_ins.Nearest({0, last}));
    for (Pts at = recording->Shape().first; at < last; at.ticks += last.ticks / 97) {
      INFO("at " << at.ticks);
      CHECK(Away(*stand_ins.Nearest({2, at}), at, *recording) <= kBetweenKeys / 2 + kFrame);
    }
    CHECK(ComesTrue([&] { return std::filesystem::exists(cache); }));
    CHECK(ComesTrue([&] {
      for (const auto& file : std::filesystem::directory_iterator(cache))
        if (file.path().extension() == ".small") return true;
      return false;
    }));
    stand_ins.Clear();
    CHECK_FALSE(stand_ins.Nearest({2, last}));
  }
  // What was kept is there at once, for the same recording only.
  StandIns again([] {});
  again.Add(recording, 0, cache);
  CHECK(ComesTrue([&] { return again.Nearest({0, {0}}).has_value(); }));
  CHECK(Away(*again.Nearest({0, last}), last, *recording) <= kFrame);
}

// As those were that a version before this one kept.
TEST_CASE("Kept small pictures without one of the end get it", "[player]") {
  const TemporaryFolder folder;
  const auto recording = Opened(MovingRecording(folder, "moving.mp4", 20), folder.path());
  const std::string cache = folder / "cache";
  const std::string key = TableKey(*LookAtRegularFile(recording->info().path));
  const auto first = recording->Frame(FrameIndex{0}, {});
  REQUIRE(first.ok());
  REQUIRE(MakeFolders(RealFileSystem(), cache).ok());
  SaveSmallPictures(RealFileSystem(), cache, key, {ShrinkPicture(*first, 320)});
  const auto last = recording->Shape().end + TickSpan{-1};
  StandIns stand_ins([] {});
  stand_ins.Add(recording, 0, cache);
  CHECK(ComesTrue([&] {
    const auto near = stand_ins.Nearest({0, last});
    return near && Away(*near, last, *recording) <= kFrame;
  }));
  CHECK(ComesTrue([&] { return LoadSmallPictures(RealFileSystem(), cache, key, 0).size() == 2; }));
}

// The copy's picture of a frame resembles the recording's own more than that of a frame 0.4 s later.
TEST_CASE("A light copy shows the frame that was asked for, small", "[player]") {
  const TemporaryFolder folder;
  const auto recording = Opened(MovingRecording(folder, "moving.mp4", 20), folder.path());
  const auto table = recording->WaitForTable(TableState::kVerified, {}, {});
  REQUIRE(table.ok());
  const std::string path = folder / "copy.light.mp4";
  REQUIRE(LightCopy::Make(*recording, path, {}, {}).ok());
  CHECK(static_cast<double>(std::filesystem::file_size(path)) > 1000);
  const auto copy = LightCopy::Open(*recording, path);
  REQUIRE(copy.ok());
  for (const std::int64_t index : {0, 3, 124, 125, 333, 480}) {
    const Pts pts = (**table)[{index}].pts;
    const auto shown = [&] {
      const auto near = (*copy)->Nearest(pts, [] {});
      return near && near->frame.pts == pts;
    };
    INFO("frame " << index);
    REQUIRE(ComesTrue(shown));
    const auto near = (*copy)->Nearest(pts, [] {});
    const auto own = recording->Frame(FrameIndex{index}, {});
    const auto later = recording->Frame(FrameIndex{index + 10}, {});
    REQUIRE(own.ok());
    REQUIRE(later.ok());
    CHECK(LumaDifference(*near, *own) < LumaDifference(*near, *later));
  }
}

TEST_CASE("Making a light copy can be stopped and leaves nothing", "[player]") {
  const TemporaryFolder folder;
  const auto recording = Opened(MovingRecording(folder, "moving.mp4", 20), folder.path());
  const std::string path = folder / "copy.light.mp4";
  int asked = 0;
  const Status made = LightCopy::Make(*recording, path, {}, [&] { return ++asked > 100; });
  REQUIRE_FALSE(made.ok());
  CHECK(made.error().code == ErrorCode::kStopped);
  CHECK_FALSE(std::filesystem::exists(path));
}

TEST_CASE("A light copy is made only where jumps take long", "[player]") {
  const TemporaryFolder folder;
  const auto recording = Opened(MovingRecording(folder, "moving.mp4", 20), folder.path());
  REQUIRE(recording->WaitForTable(TableState::kVerified, {}, {}).ok());
  CHECK_FALSE(LightCopy::IsWorthwhile(*recording));  // 125 frames of 640x480 between key frames
  CHECK(LightCopy::ExpectedBytes(*recording) == Approx(20 * 150e3).epsilon(0.01));
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
// The window on a disk that keeps everybody waiting: started by ctest with the library slow_disk loaded
// before all others (see tests/support/slow_disk.cpp), which counts every call that waits on the thread that
// draws.
#include "tests/app/desktop/stage/invented_case_support.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"
#include "tests/support/run_program.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <dlfcn.h>
#include <filesystem>
#include <string>

namespace afterscope {
namespace {

// A frame that waited for nothing may still be slow on a busy machine; one that waited for the disk would
// have been counted.
constexpr double kLongestFrame = 2.0;

int CallsOnDrawingThread() {
  const auto count = reinterpret_cast<int (*)()>(dlsym(RTLD_DEFAULT, "slow_disk_calls_on_first_thread"));
  return count != nullptr ? count() : -1;
}

// Two hours at 25 pictures a second; noise over a part of the middle, the end cut off.
bool MakeDamagedRecording(const std::string& path) {
  int status = 0;
  OutputOf(
      "unset LD_PRELOAD; cd '" + std::filesystem::path(path).parent_path().string() +
          "' && ffmpeg -nostdin -v error -y -f lavfi -i testsrc2=size=96x64:rate=25:duration=4 -c:v libx264 "
          "-preset ultrafast -crf 40 -g 50 clip.mkv && ffmpeg -nostdin -v error -y -stream_loop 1799 -i "
          "clip.mkv "
          "-c copy long.mkv && size=$(stat -c %s long.mkv) && truncate -s $((size * 9 / 10)) long.mkv && "
          "dd if=/dev/urandom of=long.mkv bs=1000 seek=$((size / 2000)) count=300 conv=notrunc status=none "
          "&& "
          "mv long.mkv '" +
          path + "'",
      &status);
  return status == 0;
}

// Draws for so many seconds; the longest frame.
double Watch(Stage& stage, double seconds) {
  double longest = 0;
  double drawn = 0;
  stage.DrawUntil(
      [&] {
        const double took = stage.Draw();
        longest = std::max(longest, took);
        drawn += took + 0.01;
        return drawn >= seconds;
      },
      10 * seconds + 60);
  return longest;
}

}  // namespace

TEST_CASE("The window answers on a slow disk, with a damaged recording of two hours and a missing path",
          "[.slow_disk]") {
  const char* slow = std::getenv("AFTERSCOPE_SLOW_FOLDER");
  REQUIRE(slow != nullptr);
  REQUIRE(CallsOnDrawingThread() >= 0);
  const std::string folder = slow;
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  const std::string recording = folder + "/damaged.mkv";
  REQUIRE(MakeDamagedRecording(recording));
  auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  Watch(*stage, 0.2);
  CallsOnDrawingThread();  // what was waited for until here was not the window's doing

  SECTION("a path that is not there is said") {
    stage->Open({folder + "/not there/recording.mp4"});
    CHECK(Watch(*stage, 2) < kLongestFrame);
    CHECK(CallsOnDrawingThread() == 0);
  }
  SECTION("a damaged recording of two hours opens, is jumped through and played") {
    stage->Open({recording});
    CHECK(stage->DrawUntil([&] { return !stage->app().player().shown().empty(); }, 120));
    CHECK(Watch(*stage, 0.5) < kLongestFrame);
    for (const char* key : {"End", "Home", "Shift+Right", "Space"}) {
      stage->Press(key);
      CHECK(Watch(*stage, 1.5) < kLongestFrame);
    }
    CHECK(CallsOnDrawingThread() == 0);
  }
  SECTION("a case whose recording is gone opens") {
    const auto cases = MakeInventedCases(folder);
    REQUIRE(cases.size() == 2);
    std::filesystem::remove_all(folder + "/recordings");
    CallsOnDrawingThread();
    stage->Open({cases[0]});
    CHECK(stage->DrawUntil([&] { return !stage->app().view().folder.empty(); }, 120));
    CHECK(Watch(*stage, 3) < kLongestFrame);
    stage->Press("F5");
    CHECK(Watch(*stage, 0.5) < kLongestFrame);
    CHECK(CallsOnDrawingThread() == 0);
  }
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/sound_levels.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <chrono>
#include <filesystem>
#include <thread>

using namespace afterscope;

namespace {

// Two seconds of silence, then one of a constant.
std::string MakeRecording(const TemporaryFolder& folder) {
  int status = 0;
  OutputOf(
      "ffmpeg -nostdin -v error -y -f lavfi -i testsrc2=size=64x48:rate=25:duration=3 -f lavfi -i "
      "\"aevalsrc='0.5*gte(t,2)|0.5*gte(t,2)':s=48000:d=3\" -c:v mjpeg -c:a pcm_s16le '" +
          (folder / "sound.mov") + "'",
      &status);
  REQUIRE(status == 0);
  return folder / "sound.mov";
}

template <class Done>
bool Until(JobRunner& jobs, Done done) {
  for (int i = 0; i < 3000; ++i) {
    jobs.Drain();
    if (done()) return true;
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
  return false;
}

}  // namespace

TEST_CASE("The levels of a case are made once they are wanted, kept in its cache, and placed on its clock",
          "[sound]") {
  const TemporaryFolder folder;
  const std::string path = MakeRecording(folder);
  const std::string cache = folder / "cache";
  JobRunner jobs(2);
  Reel reel(jobs, 64LL << 20, false);
  const auto here = [path]() -> Result<std::string> { return path; };
  reel.Open({{path, here}, {path, here}});
  REQUIRE(Until(jobs, [&] { return reel.AllSettled(); }));
  for (int i = 0; i < 2; ++i) REQUIRE(reel.At(i)->WaitForTable(TableState::kVerified, {}, {}).ok());
  SoundLevels levels(jobs, reel);
  levels.Forget(cache);
  CHECK(levels.AnySound());
  CHECK(levels.Of(0) == nullptr);
  CHECK(levels.Of(-1) == nullptr);
  REQUIRE(Until(jobs, [&] {
    levels.Want();
    return levels.Of(0) != nullptr && levels.Of(1) != nullptr;
  }));
  CHECK(levels.problem().empty());
  CHECK(std::distance(std::filesystem::directory_iterator(cache), std::filesystem::directory_iterator()) ==
        1);

  const CaseClock clock(reel.Known({}));
  REQUIRE(clock.TotalSeconds() == Approx(6));
  CHECK(LevelOver(levels, clock, 0.5, 1.5).peak == 0);
  CHECK(LevelOver(levels, clock, 2.5, 2.9).peak == Approx(0.5).epsilon(0.03));
  CHECK(LevelOver(levels, clock, 3.1, 4.9).peak == 0);
  CHECK(LevelOver(levels, clock, 5.2, 5.8).rms == Approx(0.5).epsilon(0.03));
  CHECK(LevelOver(levels, clock, 7, 8).peak == 0);
  levels.Forget({});
  CHECK(levels.Of(0) == nullptr);
}

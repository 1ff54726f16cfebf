// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/case_sound.hpp"
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace afterscope;

namespace {

// Pictures of 25 a second, and sound that goes on for a second after them, or none.
std::shared_ptr<Recording> MakeRecording(const TemporaryFolder& folder, const std::string& name,
                                         double seconds, double level, double offset) {
  const std::string length = std::to_string(seconds);
  const std::string sound = level > 0 ? " -f lavfi -i \"aevalsrc='" + std::to_string(level) + "|" +
                                            std::to_string(level) +
                                            "':s=48000:d=" + std::to_string(seconds + 1) + "\" -c:a pcm_s16le"
                                      : "";
  int status = 0;
  OutputOf("ffmpeg -nostdin -v error -y -f lavfi -i testsrc2=size=64x48:rate=25:duration=" + length + sound +
               " -c:v mjpeg -output_ts_offset " + std::to_string(offset) + " " + Quoted(folder / name),
           &status);
  REQUIRE(status == 0);
  return std::move(OpenVerified(folder / name, folder.path()).recording);
}

}  // namespace

TEST_CASE("The sound of a case goes through its recordings, each while its pictures last", "[sound]") {
  const TemporaryFolder folder;
  const std::vector<std::shared_ptr<Recording>> recordings{
      MakeRecording(folder, "first.mov", 2, 0.25, 0), MakeRecording(folder, "silent.mov", 1, 0, 0), nullptr,
      MakeRecording(folder, "last.mkv", 1, 0.5, 3)};
  std::vector<RecordingRef> refs;
  for (const auto& recording : recordings) {
    refs.emplace_back();
    if (recording)
      refs.back().shape = recording->Shape();
    else
      refs.back().shape = {{1, 1000}, {0}, {500}, 64, 48, {1, 1}, 0, true};
  }
  const CaseClock clock(refs);
  REQUIRE(clock.TotalSeconds() == Approx(4.5));
  const CaseSound sound = SoundOfCase(recordings, clock, 0, 5 * kSoundRate, {});
  CHECK(sound.problem.empty());
  REQUIRE(sound.samples.size() == 5U * kSoundRate * kSoundChannels);
  const auto at = [&](double seconds) {
    return sound.samples[static_cast<std::size_t>(std::llround(seconds * kSoundRate)) * kSoundChannels];
  };
  CHECK(at(0.1) == Approx(0.25).margin(0.001));
  CHECK(at(2 - 1.0 / kSoundRate) == Approx(0.25).margin(0.001));
  CHECK(at(2) == 0);
  CHECK(at(2.9) == 0);
  CHECK(at(3.4) == 0);
  CHECK(at(3.502) == Approx(0.5).margin(0.001));
  CHECK(at(4.49) == Approx(0.5).margin(0.001));
  CHECK(at(4.51) == 0);
  // A stretch that begins before the case.
  const CaseSound early = SoundOfCase(recordings, clock, -480, 960, {});
  CHECK(early.samples[0] == 0);
  CHECK(early.samples[2 * 700] == Approx(0.25).margin(0.001));
  CHECK(SoundOfCase({}, CaseClock(), 0, 100, {}).samples == std::vector<float>(200));
}

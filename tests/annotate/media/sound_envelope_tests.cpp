// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sound_envelope.hpp"
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <filesystem>

using namespace afterscope;

namespace {

namespace fs = std::filesystem;

// A tone of amplitude 0.5 from 1 s to 2 s, else silence; 3 s.
std::string MakeTone(const TemporaryFolder& folder) {
  int status = 0;
  OutputOf(
      "ffmpeg -nostdin -v error -y -f lavfi -i testsrc2=size=160x120:rate=24:duration=3 -f lavfi -i "
      "\"aevalsrc='0.5*between(t,1,2)*sin(2*PI*500*t)|0.5*between(t,1,2)*sin(2*PI*500*t)':s=48000:d=3\" -c:v "
      "mpeg4 -c:a pcm_s16le " +
          Quoted(folder / "tone.mov"),
      &status);
  REQUIRE(status == 0);
  return folder / "tone.mov";
}

}  // namespace

TEST_CASE("The envelope of a tone has its peak and its root mean square", "[sound]") {
  const TemporaryFolder folder;
  const Opened opened = OpenVerified(MakeTone(folder), folder.path());
  const auto envelope = MakeSoundEnvelope(*opened.recording, {}, {});
  REQUIRE(envelope.ok());
  REQUIRE(envelope->levels.size() == 150);
  CHECK(envelope->levels[10] == SoundLevel{});
  CHECK(envelope->levels[75].peak == Approx(0.5).epsilon(0.001));
  // Of a sine: the amplitude by the root of two.
  CHECK(envelope->levels[75].rms == Approx(0.5 / std::sqrt(2.0)).epsilon(0.001));
  CHECK(LevelOver(*envelope, 0, 3).peak == Approx(0.5).epsilon(0.001));
  CHECK(LevelOver(*envelope, 0, 3).rms == Approx(0.5 / std::sqrt(2.0) / std::sqrt(3.0)).epsilon(0.001));
  CHECK(LevelOver(*envelope, 0.2, 0.9).peak == 0);
  CHECK(LevelOver(*envelope, 5, 9) == SoundLevel{});
  CHECK(LevelOver(*envelope, 2, 1) == SoundLevel{});
  CHECK(LevelOver(*envelope, -5, 1.5).peak == Approx(0.5).epsilon(0.001));
  const auto stopped = MakeSoundEnvelope(*opened.recording, {}, [] { return true; });
  CHECK(stopped.error().code == ErrorCode::kStopped);
}

TEST_CASE("A recording without sound has an envelope without levels", "[sound]") {
  const TemporaryFolder folder;
  const Opened opened = OpenVerified(MediaFolder() + "/files/bframes.mp4", folder.path());
  const auto envelope = MakeSoundEnvelope(*opened.recording, {}, {});
  REQUIRE(envelope.ok());
  CHECK(envelope->levels.empty());
}

TEST_CASE("Levels are drawn by decibels from -60 to 0", "[sound]") {
  CHECK(DrawnHeight(0) == 0);
  CHECK(DrawnHeight(1e-3F) == Approx(0).margin(1e-6));
  CHECK(DrawnHeight(0.1F) == Approx(2.0 / 3));
  CHECK(DrawnHeight(1) == 1);
  CHECK(DrawnHeight(2) == 1);
  CHECK(DrawnHeight(NAN) == 0);
}

TEST_CASE("Kept envelopes come back to half a decibel, for that file only, and never fill the disk",
          "[sound]") {
  const TemporaryFolder folder;
  const Opened opened = OpenVerified(MakeTone(folder), folder.path());
  const Opened other = OpenVerified(MediaFolder() + "/files/with_sound.mp4", folder.path());
  const std::string cache = folder / "case/cache";
  const SoundEnvelopeStore store(cache, RealFileSystem());
  CHECK_FALSE(store.Load(*opened.recording));
  SoundEnvelope envelope{{{0, 0}, {1, 0.5F}, {0.01F, 1e-6F}}};
  store.Save(*opened.recording, envelope);
  const auto back = store.Load(*opened.recording);
  REQUIRE(back);
  REQUIRE(back->levels.size() == 3);
  CHECK(back->levels[0] == SoundLevel{});
  CHECK(back->levels[1].peak == 1);
  CHECK(std::abs(20 * std::log10(back->levels[1].rms / 0.5)) <= 0.2501);
  CHECK(std::abs(20 * std::log10(back->levels[2].peak / 0.01)) <= 0.2501);
  CHECK_FALSE(store.Load(*other.recording));

  std::string kept;
  for (const auto& entry : fs::directory_iterator(cache)) kept = entry.path();
  CHECK((fs::status(kept).permissions() & fs::perms::all) ==
        (fs::perms::owner_read | fs::perms::owner_write));
  fs::resize_file(kept, fs::file_size(kept) - 1);
  CHECK_FALSE(store.Load(*opened.recording));

  for (int i = 0; i < 20; ++i) {
    const std::string old = cache + "/" + std::to_string(i) + ".levels";
    OutputOf("head -c 1000000 /dev/zero >" + Quoted(old) + "; touch -d '2020-01-01' " + Quoted(old));
  }
  store.Save(*opened.recording, envelope);
  std::int64_t bytes = 0;
  for (const auto& entry : fs::directory_iterator(cache))
    bytes += static_cast<std::int64_t>(entry.file_size());
  CHECK(bytes <= SoundEnvelopeStore::kMostBytes);
  CHECK(store.Load(*opened.recording));
}

// SPDX-License-Identifier: Apache-2.0
// Sound against the ffmpeg program's own decoding and resampling, placed by ffprobe's times; and clicks at
// known times, which the ffmpeg program put there.
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <random>

using namespace afterscope;

namespace {

// Pictures and a click of 1 ms every quarter of a second, from time 0 on.
constexpr const char* kPictures = "-f lavfi -i testsrc2=size=160x120:rate=24:duration=4";
constexpr double kClickEvery = 0.25;

std::string Clicks(int rate) {
  return "-f lavfi -i \"aevalsrc='0.8*lt(mod(t,0.25),0.001)|0.8*lt(mod(t,0.25),0.001)':s=" +
         std::to_string(rate) + ":d=4\"";
}

// Makes a file with the ffmpeg program and says where it is.
std::string Make(const TemporaryFolder& folder, const std::string& name, const std::string& options) {
  int status = 0;
  OutputOf("cd " + Quoted(folder.path()) + " && ffmpeg -nostdin -v error -y " + options + " " + name,
           &status);
  INFO(name);
  REQUIRE(status == 0);
  return folder / name;
}

std::vector<float> ReferenceSound(const std::string& file) {
  const std::string bytes =
      OutputOf("ffmpeg -nostdin -v quiet -i " + Quoted(file) + " -map 0:a:0 -ac 2 -ar 48000 -f f32le -");
  std::vector<float> samples(bytes.size() / sizeof(float));
  std::memcpy(samples.data(), bytes.data(), samples.size() * sizeof(float));
  return samples;
}

double FirstSeconds(const std::string& file, const std::string& stream) {
  return std::stod(OutputOf("ffprobe -v quiet -select_streams " + stream +
                            " -show_entries frame=best_effort_timestamp_time "
                            "-of default=nw=1:nk=1 " +
                            Quoted(file) + " | head -1"));
}

std::vector<float> SoundOf(Recording& recording, std::int64_t first, std::int64_t count) {
  const auto block = recording.Sound(first, count, {});
  INFO((block.ok() ? "" : block.error().message));
  REQUIRE(block.ok());
  REQUIRE(block->first == first);
  REQUIRE(block->samples.size() == static_cast<std::size_t>(count) * 2);
  return block->samples;
}

// The largest difference from the reference over stretches of 0.1 s read in no order.
double WorstDifference(const std::string& file) {
  INFO(file);
  const TemporaryFolder cache;
  const Opened opened = OpenVerified(file, cache.path());
  const std::vector<float> expected = ReferenceSound(file);
  REQUIRE(!expected.empty());
  const auto offset = std::llround((FirstSeconds(file, "a:0") - FirstSeconds(file, "v:0")) * kSoundRate);
  std::mt19937 random(3);
  std::uniform_int_distribution<std::int64_t> when(kSoundRate / 10, 26 * kSoundRate / 10);
  double worst = 0;
  for (int jump = 0; jump < 40; ++jump) {
    const std::int64_t from = when(random);
    const std::vector<float> got = SoundOf(*opened.recording, from, kSoundRate / 10);
    const std::int64_t first = (from - offset) * 2;
    for (std::size_t i = 0; i < got.size(); ++i) {
      const auto at = static_cast<std::size_t>(first + static_cast<std::int64_t>(i));
      if (at < expected.size()) worst = std::max(worst, std::abs(double{got[i]} - expected[at]));
    }
  }
  return worst;
}

// Where clicks begin, in seconds since the first frame.
std::vector<double> ClickTimes(const std::vector<float>& samples) {
  std::vector<double> times;
  std::size_t quiet = 2000;
  for (std::size_t i = 0; i < samples.size(); i += 2, ++quiet) {
    if (std::abs(samples[i]) < 0.2F) continue;
    if (quiet > 1000) times.push_back(static_cast<double>(i / 2) / kSoundRate);
    quiet = 0;
  }
  return times;
}

// How far any click of the whole recording, read in pieces of half a second, lies from its true place;
// `first_click` is that of the first one, in seconds since the first frame.
double WorstClick(const std::string& file, double first_click, std::size_t at_least) {
  INFO(file);
  const TemporaryFolder cache;
  const Opened opened = OpenVerified(file, cache.path());
  std::vector<float> all;
  for (int part = 0; part < 7; ++part) {
    const auto piece = SoundOf(*opened.recording, part * kSoundRate / 2, kSoundRate / 2);
    all.insert(all.end(), piece.begin(), piece.end());
  }
  const std::vector<double> times = ClickTimes(all);
  REQUIRE(times.size() >= at_least);
  double worst = 0;
  for (const double time : times) {
    const double clicks = std::round((time - first_click) / kClickEvery);
    worst = std::max(worst, std::abs(time - first_click - clicks * kClickEvery));
  }
  return std::max(worst, std::abs(times.front() - std::max(first_click, 0.0)) > kClickEvery ? 1.0 : worst);
}

}  // namespace

TEST_CASE("Sound of any stretch is what the ffmpeg program decodes", "[sound]") {
  // Float rounding of a transform codec that started elsewhere, and of the resampler's filter.
  CHECK(WorstDifference(MediaFolder() + "/files/with_sound.mp4") < 1e-3);
  CHECK(WorstDifference(MediaFolder() + "/files/with_sound.ts") < 1e-3);
  const TemporaryFolder folder;
  const std::string tone =
      std::string(kPictures) + " -f lavfi -i sine=frequency=440:sample_rate=48000:duration=4";
  // Nothing is lost in between: to the sample, and to the bit.
  CHECK(WorstDifference(Make(folder, "pcm.mov", tone + " -c:v mpeg4 -c:a pcm_s16le")) == 0);
  CHECK(WorstDifference(Make(folder, "pcm.avi", tone + " -c:v mpeg4 -c:a pcm_s16le")) == 0);
  CHECK(WorstDifference(Make(folder, "flac.mkv", tone + " -c:v mpeg4 -c:a flac -ac 1")) == 0);
  CHECK(WorstDifference(Make(folder, "six.mp4", tone + " -c:v mpeg4 -c:a aac -ac 6")) < 1e-3);
  CHECK(WorstDifference(Make(folder, "edit.mp4", "-ss 0.7 -i six.mp4 -c copy")) < 1e-3);
}

TEST_CASE("Sound stands where the clock of the pictures says", "[sound]") {
  const TemporaryFolder folder;
  constexpr double kSample = 1.0 / kSoundRate;
  const auto clicks = [&](int rate, const std::string& options) {
    return std::string(kPictures) + " " + Clicks(rate) + " -c:v mpeg4 " + options;
  };
  CHECK(WorstClick(Make(folder, "plain.mov", clicks(48000, "-c:a pcm_s16le")), 0, 14) < 1.5 * kSample);
  CHECK(WorstClick(Make(folder, "other_rate.mov", clicks(44100, "-c:a pcm_s16le")), 0, 14) < 2.5 * kSample);
  CHECK(WorstClick(Make(folder, "starts_late.ts", clicks(48000, "-c:a mp2 -output_ts_offset 5")), 0, 14) <
        0.001);
  CHECK(
      WorstClick(Make(folder, "starts_late.mp4", clicks(48000, "-c:a pcm_s16le -f mov -output_ts_offset 5")),
                 0, 14) < 1.5 * kSample);
  // Matroska's clock counts milliseconds.
  CHECK(WorstClick(Make(folder, "starts_late.mkv", clicks(48000, "-c:a pcm_s16le -output_ts_offset 7")), 0,
                   14) < 0.0006);
  // The sound begins 0.35 s after the pictures, or before them.
  CHECK(WorstClick(
            Make(folder, "sound_late.mov",
                 std::string(kPictures) + " -itsoffset 0.35 " + Clicks(48000) + " -c:v mpeg4 -c:a pcm_s16le"),
            0.35, 12) < 1.5 * kSample);
  CHECK(WorstClick(Make(folder, "sound_early.mkv",
                        "-itsoffset 0.375 " + std::string(kPictures) + " " + Clicks(48000) +
                            " -c:v mpeg4 -c:a pcm_s16le"),
                   -0.375, 12) < 0.0006);
  // The edit list begins 0.7 s into the recording, the pictures at the key frame that it asks for.
  Make(folder, "long.mov", clicks(48000, "-g 1 -c:a pcm_s16le"));
  CHECK(WorstClick(Make(folder, "edit.mov", "-ss 0.75 -i long.mov -c copy"), 0, 11) < 0.0006);
}

TEST_CASE("Where the clock jumps, there is silence, and then sound in its place", "[sound]") {
  const TemporaryFolder folder;
  const TemporaryFolder cache;
  const std::string clicks = std::string(kPictures) + " " + Clicks(48000) + " -c:v mpeg2video -g 12 -c:a mp2";
  Make(folder, "first.ts", clicks);
  Make(folder, "later.ts", "-i first.ts -c copy -output_ts_offset 30");
  OutputOf("cd " + Quoted(folder.path()) +
           " && cat first.ts later.ts >forward.ts && cat later.ts first.ts >back.ts");
  const Opened forward = OpenVerified(folder / "forward.ts", cache.path());
  const auto silent = SoundOf(*forward.recording, 10 * kSoundRate, 10 * kSoundRate);
  CHECK(std::all_of(silent.begin(), silent.end(), [](float s) { return s == 0; }));
  const auto after = ClickTimes(SoundOf(*forward.recording, 30 * kSoundRate - 480, 2 * kSoundRate));
  REQUIRE(after.size() >= 7);
  const double first_of_later =
      FirstSeconds(folder / "later.ts", "v:0") - FirstSeconds(folder / "first.ts", "v:0");
  CHECK(std::abs(std::remainder(after[2] - 0.01 + 30 - first_of_later, kClickEvery)) < 0.001);

  // What jumps back stands behind what came before, sound and pictures alike.
  const Opened back = OpenVerified(folder / "back.ts", cache.path());
  REQUIRE(Says(*back.table, "jump back"));
  const Opened first = OpenVerified(folder / "first.ts", cache.path());
  const std::vector<double> expected = ClickTimes(SoundOf(*first.recording, 0, 3 * kSoundRate));
  const std::int64_t half = back.table->size() / 2;  // the second part begins where the repaired table says
  const double second =
      ((*back.table)[FrameIndex{half}].pts - back.table->begin()).Seconds(back.table->time_base());
  const auto from = std::llround(second * kSoundRate);
  const auto times = ClickTimes(SoundOf(*back.recording, from, 3 * kSoundRate));
  REQUIRE(times.size() == expected.size());
  for (std::size_t i = 0; i < times.size(); ++i) CHECK(times[i] == Approx(expected[i]).margin(0.0001));
}

TEST_CASE("A recording without sound has none, and beyond its end there is silence", "[sound]") {
  const TemporaryFolder cache;
  const Opened silent = OpenVerified(MediaFolder() + "/files/bframes.mp4", cache.path());
  const auto none = silent.recording->Sound(0, kSoundRate, {});
  REQUIRE(none.ok());
  CHECK(none->samples.empty());
  const Opened opened = OpenVerified(MediaFolder() + "/files/with_sound.mp4", cache.path());
  const auto beyond = SoundOf(*opened.recording, 100 * kSoundRate, kSoundRate / 2);
  CHECK(std::all_of(beyond.begin(), beyond.end(), [](float s) { return s == 0; }));
  // Having been at the end changes nothing.
  const auto again = SoundOf(*opened.recording, kSoundRate, kSoundRate / 2);
  CHECK(std::any_of(again.begin(), again.end(), [](float s) { return s != 0; }));
  const auto before = SoundOf(*opened.recording, -kSoundRate, kSoundRate / 2);
  CHECK(std::all_of(before.begin(), before.end(), [](float s) { return s == 0; }));
  CHECK_FALSE(opened.recording->Sound(0, 1000LL * kSoundRate, {}).ok());
}

TEST_CASE("Stretches of sound that meet fit together to the sample", "[sound]") {
  const TemporaryFolder cache;
  const Opened opened = OpenVerified(MediaFolder() + "/files/with_sound.mp4", cache.path());
  const auto whole = SoundOf(*opened.recording, 0, 3 * kSoundRate);
  std::vector<float> pieces;
  for (std::int64_t at = 0; at < 3 * kSoundRate; at += 1003) {
    const auto piece = SoundOf(*opened.recording, at, std::min<std::int64_t>(1003, 3 * kSoundRate - at));
    pieces.insert(pieces.end(), piece.begin(), piece.end());
  }
  CHECK(pieces == whole);
}

TEST_CASE("Of several sound tracks the first that is heard plays", "[sound]") {
  const TemporaryFolder folder;
  const TemporaryFolder cache;
  const std::string file =
      Make(folder, "tracks.mkv",
           std::string(kPictures) + " -f lavfi -i anullsrc=r=48000:d=4 " + Clicks(48000) +
               " -map 0 -map 1 -map 2 -c:v mpeg4 -c:a pcm_s16le -shortest");
  const Opened opened = OpenVerified(file, cache.path());
  CHECK(ClickTimes(SoundOf(*opened.recording, 0, 2 * kSoundRate)).size() == 8);
  const std::string silent = Make(folder, "silent.mkv",
                                  std::string(kPictures) +
                                      " -f lavfi -i anullsrc=r=48000:d=4 -f lavfi -i "
                                      "anullsrc=r=44100:d=4 -map 0 -map 1 -map 2 -c:v mpeg4 "
                                      "-c:a pcm_s16le -shortest");
  const Opened nothing = OpenVerified(silent, cache.path());
  CHECK(ClickTimes(SoundOf(*nothing.recording, 0, 2 * kSoundRate)).empty());
}

TEST_CASE("Damaged sound leaves the rest in its place, and nothing louder than full scale", "[sound]") {
  const TemporaryFolder folder;
  const TemporaryFolder cache;
  for (const std::string name : {"sound.mp4", "sound.ts", "sound.mkv"}) {
    INFO(name);
    const std::string codec = name == "sound.mp4" ? "aac" : "mp2";
    const std::string whole =
        Make(folder, name, std::string(kPictures) + " " + Clicks(48000) + " -c:v mpeg4 -c:a " + codec);
    const std::string damaged = folder / ("damaged_" + name);
    std::filesystem::copy_file(whole, damaged);
    {
      std::fstream bytes(damaged, std::ios::in | std::ios::out | std::ios::binary);
      bytes.seekp(static_cast<std::streamoff>(std::filesystem::file_size(damaged) / 2));
      std::mt19937 random(7);
      for (int i = 0; i < 3000; ++i) bytes.put(static_cast<char>(random()));
    }
    const Opened good = OpenVerified(whole, cache.path());
    const Opened bad = OpenVerified(damaged, cache.path());
    const auto expected = ClickTimes(SoundOf(*good.recording, 0, 4 * kSoundRate));
    const auto samples = SoundOf(*bad.recording, 0, 4 * kSoundRate);
    CHECK(std::all_of(samples.begin(), samples.end(), [](float s) { return s >= -1 && s <= 1; }));
    const auto got = ClickTimes(samples);
    const auto kept = std::count_if(expected.begin(), expected.end(), [&](double time) {
      return std::any_of(got.begin(), got.end(), [&](double t) { return std::abs(t - time) < 0.002; });
    });
    CHECK(kept >= static_cast<std::ptrdiff_t>(expected.size()) - 4);
  }
}

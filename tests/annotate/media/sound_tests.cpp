// SPDX-License-Identifier: Apache-2.0
// Sound against the ffmpeg program's own decoding and resampling to stereo, placed by ffprobe's times.
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <cstring>
#include <random>

using namespace afterscope;

namespace {

std::vector<float> ReferenceSound(const std::string& file) {
  const std::string bytes =
      OutputOf("ffmpeg -nostdin -v quiet -i " + Quoted(file) + " -map 0:a:0 -ac 2 -f f32le -");
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

void CheckSound(const std::string& name, int rate) {
  INFO(name);
  const TemporaryFolder cache;
  const std::string file = MediaFolder() + "/files/" + name;
  const Opened opened = OpenVerified(file, cache.path());
  const std::vector<float> expected = ReferenceSound(file);
  const double offset = FirstSeconds(file, "a:0") - FirstSeconds(file, "v:0");
  std::mt19937 random(3);
  std::uniform_real_distribution<double> when(0.1, 2.6);
  for (int jump = 0; jump < 40; ++jump) {
    const double from = std::round(when(random) * rate) / rate;
    const auto block = opened.recording->Sound(from, from + 0.1, {});
    REQUIRE(block.ok());
    REQUIRE(block->sample_rate == rate);
    REQUIRE(block->channels == 2);
    REQUIRE(std::llabs(static_cast<long long>(block->samples.size()) - 2 * std::llround(0.1 * rate)) <= 2);
    double worst = 0;
    const auto first = static_cast<std::ptrdiff_t>(std::llround((from - offset) * rate)) * 2;
    for (std::size_t i = 0; i < block->samples.size(); ++i) {
      const auto at = static_cast<std::size_t>(first + static_cast<std::ptrdiff_t>(i));
      if (at < expected.size()) worst = std::max(worst, std::abs(double{block->samples[i]} - expected[at]));
    }
    CHECK(worst < 1e-3);  // float rounding of a transform codec that started elsewhere
  }
}

}  // namespace

TEST_CASE("Sound of any stretch is what the ffmpeg program decodes") {
  CheckSound("with_sound.mp4", 44100);
  CheckSound("with_sound.ts", 48000);
}

TEST_CASE("A recording without sound has none, and beyond its end there is silence") {
  const TemporaryFolder cache;
  const Opened silent = OpenVerified(MediaFolder() + "/files/bframes.mp4", cache.path());
  const auto none = silent.recording->Sound(0, 1, {});
  REQUIRE(none.ok());
  CHECK(none->samples.empty());
  const Opened opened = OpenVerified(MediaFolder() + "/files/with_sound.mp4", cache.path());
  const auto beyond = opened.recording->Sound(100, 100.5, {});
  REQUIRE(beyond.ok());
  CHECK(beyond->samples.size() == 44100);  // half a second of two channels
  CHECK(std::all_of(beyond->samples.begin(), beyond->samples.end(), [](float s) { return s == 0; }));
  CHECK_FALSE(opened.recording->Sound(0, 1000, {}).ok());
}

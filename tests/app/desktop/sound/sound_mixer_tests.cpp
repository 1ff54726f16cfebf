// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/sound_mixer.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace afterscope;

namespace {

constexpr std::size_t kFrames = 480;  // 10 ms

// Frames that say their own number, small enough not to be clipped.
std::vector<float> Numbered(std::size_t first, std::size_t count) {
  std::vector<float> samples;
  for (std::size_t i = first; i < first + count; ++i)
    samples.insert(samples.end(), 2, static_cast<float>(i + 1) / 65536);
  return samples;
}

std::vector<float> Filled(SoundMixer& mixer, double heard_at) {
  std::vector<float> out(kFrames * kSoundChannels, 9);
  mixer.Fill(out, heard_at);
  return out;
}

bool IsSilent(const std::vector<float>& samples) {
  return std::all_of(samples.begin(), samples.end(), [](float s) { return s == 0; });
}

}  // namespace

TEST_CASE("A run begins when the clock gets there, to the sample", "[sound]") {
  SoundMixer mixer;
  CHECK(IsSilent(Filled(mixer, 100)));
  mixer.SetClock({5, 100, 1, true});
  const auto run = mixer.Begin(std::llround(5.015 * kSoundRate), 1);
  mixer.Put(run, Numbered(0, 9600));
  CHECK(IsSilent(Filled(mixer, 100)));
  CHECK_FALSE(mixer.HeardAt(100.005));
  const auto begins = Filled(mixer, 100.010);  // 5 ms, 240 frames, of it come before the run
  CHECK(begins[2 * 239] == 0);
  CHECK(begins[2 * 241] > 0);
  REQUIRE(mixer.HeardAt(100.016));
  CHECK(*mixer.HeardAt(100.016) == Approx(5.016));
  // After the fade of 5 ms the samples are those of the run.
  const auto goes_on = Filled(mixer, 100.020);
  CHECK(goes_on[0] == Approx(241.0 / 65536));
  CHECK(*mixer.HeardAt(100.025) == Approx(5.025));
  // Nothing is heard beyond what the output got.
  CHECK(*mixer.HeardAt(200) == Approx(5.030));
}

TEST_CASE("A run that comes late begins where the clock is by then", "[sound]") {
  SoundMixer mixer;
  mixer.SetClock({5, 100, 2, true});
  const auto run = mixer.Begin(5 * kSoundRate, 2);
  mixer.Put(run, Numbered(0, 9600));
  const auto late = Filled(mixer, 100.1);  // the clock stands at 5.2, which is frame 4800 of the run
  CHECK(*mixer.HeardAt(100.1) == Approx(5.2));
  const auto next = Filled(mixer, 100.11);
  CHECK(next[0] == Approx(5281.0 / 65536));
  CHECK(late[0] < next[0]);
}

TEST_CASE("While the clock stands nothing is heard, and it goes on where it was", "[sound]") {
  SoundMixer mixer;
  mixer.SetClock({0, 100, 1, true});
  const auto run = mixer.Begin(0, 1);
  mixer.Put(run, Numbered(0, 9600));
  Filled(mixer, 100);
  Filled(mixer, 100.01);
  mixer.SetClock({0.02, 100.02, 1, false});
  Filled(mixer, 100.02);  // fades out
  CHECK(IsSilent(Filled(mixer, 100.03)));
  CHECK(IsSilent(Filled(mixer, 100.04)));
  mixer.SetClock({0.02, 100.05, 1, true});
  CHECK_FALSE(IsSilent(Filled(mixer, 100.05)));
  CHECK(Filled(mixer, 100.06)[0] == Approx(1921.0 / 65536));
}

TEST_CASE("Volume, and a sound alone over the case's own", "[sound]") {
  SoundMixer mixer;
  mixer.SetClock({0, 100, 1, true});
  mixer.SetVolume(0.5F);
  const auto run = mixer.Begin(0, 1);
  mixer.Put(run, std::vector<float>(kFrames * 2 * 10, 0.5F));
  Filled(mixer, 100);
  CHECK(Filled(mixer, 100.01)[0] == Approx(0.25F));
  mixer.PlayAlone(std::vector<float>(kFrames * 2 * 2, 0.25F));
  CHECK(mixer.PlaysAlone());
  Filled(mixer, 100.02);
  CHECK(Filled(mixer, 100.03)[0] == Approx(0.25F + 0.5F * 0.5F * 0.2F));
  CHECK_FALSE(mixer.PlaysAlone());
  Filled(mixer, 100.04);
  CHECK(Filled(mixer, 100.05)[0] == Approx(0.25F));
  mixer.End();
  CHECK(IsSilent(Filled(mixer, 100.06)));
  CHECK_FALSE(mixer.HeardAt(100.06));
}

TEST_CASE("What belongs to an older run is refused, and the ring has an end", "[sound]") {
  SoundMixer mixer;
  const auto old = mixer.Begin(0, 1);
  const auto run = mixer.Begin(0, 1);
  CHECK(mixer.Room(old) == 0);
  CHECK(mixer.Room(run) == SoundMixer::kRingFrames);
  mixer.Put(old, Numbered(0, 100));
  CHECK(mixer.Room(run) == SoundMixer::kRingFrames);
  mixer.Put(run, Numbered(0, 2 * SoundMixer::kRingFrames));
  CHECK(mixer.Room(run) == 0);
}

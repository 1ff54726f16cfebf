// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sound_tempo.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

using namespace afterscope;

namespace {

// Short bursts of a tone every half second, or the tone all the time.
std::vector<float> Tone(double seconds, double hz, bool bursts) {
  std::vector<float> samples;
  for (int i = 0; i < seconds * kSoundRate; ++i) {
    const double t = i / double{kSoundRate};
    const bool sounds = !bursts || std::fmod(t, 0.5) < 0.05;
    const auto value = static_cast<float>(sounds ? 0.5 * std::sin(2 * M_PI * hz * t) : 0);
    samples.insert(samples.end(), {value, value});
  }
  return samples;
}

std::vector<float> Stretched(double tempo, const std::vector<float>& samples) {
  auto stretch = SoundTempo::Make(tempo);
  REQUIRE(stretch.ok());
  std::vector<float> out;
  const std::span<const float> all(samples);
  for (std::size_t at = 0; at < all.size(); at += 9600) {
    const auto part = (*stretch)->Push(all.subspan(at, std::min<std::size_t>(9600, all.size() - at)));
    out.insert(out.end(), part.begin(), part.end());
  }
  const auto rest = (*stretch)->Finish();
  out.insert(out.end(), rest.begin(), rest.end());
  return out;
}

// Where the middle of each burst lies, by its energy.
double MiddleOfBurst(const std::vector<float>& samples, double near) {
  constexpr double kAround = 0.12;
  double energy = 0;
  double moment = 0;
  for (auto i = std::llround((near - kAround) * kSoundRate); i < std::llround((near + kAround) * kSoundRate);
       ++i) {
    const auto at = static_cast<std::size_t>(i) * kSoundChannels;
    const double square = at < samples.size() ? double{samples[at]} * samples[at] : 0;
    energy += square;
    moment += square * static_cast<double>(i) / kSoundRate;
  }
  return moment / energy;
}

}  // namespace

TEST_CASE("A changed tempo keeps pitch and place", "[sound]") {
  for (const double tempo : {0.5, 0.75, 1.0, 1.5, 2.0}) {
    INFO(tempo);
    const auto tone = Stretched(tempo, Tone(4, 440, false));
    CHECK(static_cast<double>(tone.size()) / 2 / kSoundRate == Approx(4 / tempo).margin(0.1));
    int rising = 0;  // crossings of zero in the second second: as many as the tone has periods
    for (std::size_t i = 2 * kSoundRate + 2; i < 4 * kSoundRate && i < tone.size(); i += 2)
      rising += tone[i - 2] < 0 && tone[i] >= 0 ? 1 : 0;
    const double heard_seconds = std::min(1.0, static_cast<double>(tone.size()) / 2 / kSoundRate - 1);
    CHECK(rising / heard_seconds == Approx(440).epsilon(0.02));

    const auto bursts = Stretched(tempo, Tone(10, 440, true));
    for (int burst = 1; burst < 18; ++burst) {
      const double middle = (burst * 0.5 + 0.025) / tempo;
      CHECK(std::abs(MiddleOfBurst(bursts, middle) - middle) < SoundTempo::kWithinSeconds);
    }
  }
}

TEST_CASE("A tempo that would not keep its pitch is refused", "[sound]") {
  CHECK(SoundTempo::Make(0.25).error().code == ErrorCode::kBadCall);
  CHECK_FALSE(SoundTempo::Make(4).ok());
  CHECK_FALSE(SoundTempo::Make(-1).ok());
  CHECK_FALSE(SoundTempo::Make(NAN).ok());
}

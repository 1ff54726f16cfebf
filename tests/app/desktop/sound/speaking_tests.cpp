// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sound_format.hpp"
#include "app/desktop/sound/speaking.hpp"

#include <catch2/catch.hpp>

#include <chrono>
#include <cstdlib>
#include <thread>

using namespace afterscope;

namespace {

class FixedMicrophone final : public Microphone {
 public:
  explicit FixedMicrophone(double seconds) : samples_(static_cast<std::size_t>(seconds * kSoundRate), 0.5F) {}
  double Seconds() const override { return static_cast<double>(samples_.size()) / kSoundRate; }
  float Level() const override { return 0.5F; }
  std::vector<float> Take() override { return std::move(samples_); }

 private:
  std::vector<float> samples_;
};

Speaking::Opener Fixed(double seconds) {
  return [seconds]() -> Result<std::unique_ptr<Microphone>> {
    return std::unique_ptr<Microphone>(std::make_unique<FixedMicrophone>(seconds));
  };
}

void Settle(JobRunner& jobs) {
  for (int i = 0; i < 500 && !jobs.Drain(); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(10));
}

}  // namespace

TEST_CASE("What is spoken while the key is held belongs to the frame at which it went down", "[sound]") {
  JobRunner jobs(1);
  Speaking speaking(jobs, Fixed(2));
  CHECK_FALSE(speaking.active());
  speaking.Begin({1, {77}});
  CHECK(speaking.active());
  CHECK(speaking.Words().find("Opening") == 0);
  speaking.Begin({2, {99}});  // the key repeats
  Settle(jobs);
  CHECK(speaking.Words() == "Speaking  2.0 s  |||||||·");  // -6 dB: 0.9 of the way up from -60
  CHECK_FALSE(speaking.MustEnd());
  const auto spoken = speaking.End();
  REQUIRE(spoken.ok());
  CHECK(spoken->at == FrameRef{1, {77}});
  CHECK(spoken->mono.size() == 2 * kSoundRate);
  CHECK(spoken->heard);
  CHECK_FALSE(speaking.active());
}

TEST_CASE("Too short, too long, and no microphone at all are told in one sentence", "[sound]") {
  JobRunner jobs(1);
  Speaking brief(jobs, Fixed(0.1));
  brief.Begin({});
  Settle(jobs);
  CHECK(brief.End().error().message.find("ended at once") != std::string::npos);
  brief.Begin({});  // let go before the microphone is open
  CHECK_FALSE(brief.End().ok());
  Settle(jobs);
  CHECK_FALSE(brief.active());

  Speaking endless(jobs, Fixed(300));
  endless.Begin({});
  Settle(jobs);
  CHECK(endless.MustEnd());
  CHECK(endless.End().ok());

  setenv("SDL_AUDIODRIVER", "no such driver", 1);
  Speaking deaf(jobs, [] { return Microphone::Open(300); });
  deaf.Begin({});
  Settle(jobs);
  CHECK(deaf.MustEnd());
  CHECK(deaf.End().error().message.find("no microphone") != std::string::npos);
  setenv("SDL_AUDIODRIVER", "dummy", 1);
}

TEST_CASE("SDL's microphone that is none records silence in time", "[sound]") {
  setenv("SDL_AUDIODRIVER", "dummy", 1);
  const auto begun = std::chrono::steady_clock::now();
  auto microphone = Microphone::Open(300);
  REQUIRE(microphone.ok());
  std::this_thread::sleep_for(std::chrono::seconds(1));
  CHECK((*microphone)->Level() == 0);
  const auto samples = (*microphone)->Take();
  const double passed = std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
  CHECK(samples.size() > 0.5 * kSoundRate);
  CHECK(static_cast<double>(samples.size()) / kSoundRate < passed * 1.05 + 0.05);
}

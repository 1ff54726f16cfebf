// SPDX-License-Identifier: Apache-2.0
// The player of sound in real time: against an output that is none, whose clock runs 0.3 % fast, and against
// SDL's own output that is none.
#include "tests/app/desktop/sound/clicks_support.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>

using namespace afterscope;

namespace {

struct Comparison {
  double worst = 0;
  std::size_t clicks = 0;
};

// How far clicks are heard from where the clock stood at that moment, from `after` on.
Comparison Compare(const Desk& desk, const std::vector<double>& clicks, double after) {
  Comparison result;
  for (const double click : clicks) {
    const double stood = desk.At(click);
    if (click < after || stood < 0) continue;
    ++result.clicks;
    result.worst = std::max(result.worst, std::abs(std::remainder(stood, 0.5)));
  }
  return result;
}

}  // namespace

TEST_CASE("Sound is heard where the clock stands, at every speed that keeps its pitch, through jumps",
          "[sound]") {
  std::vector<double> clicks;
  std::mutex mutex;
  SoundPlayer sound({}, NotedIn(clicks, mutex));
  Desk desk = DeskWithClicks(sound);
  for (const double speed : {1.0, 2.0, 0.5}) {
    INFO(speed);
    desk.clock.Pause(SteadySeconds());
    desk.clock.SetSpeed(speed, SteadySeconds());
    desk.clock.Jump(3 + speed / 7, SteadySeconds());
    desk.Run(0.4);  // at rest the beginning is made ready
    {
      const std::lock_guard lock(mutex);
      clicks.clear();
    }
    desk.clock.Play(SteadySeconds());
    desk.Run(2.5);
    desk.clock.Jump(15.3, SteadySeconds());
    const double jumped = SteadySeconds();
    desk.Run(3.5);
    const std::lock_guard lock(mutex);
    // Where it is stretched, a sharp beginning may be heard up to a piece of 43 ms early (SoundTempo).
    const double allowed = speed == 1 ? 0.020 : 0.020 + 0.043 * speed;
    const Comparison after = Compare(desk, clicks, jumped + 0.5);
    CHECK(after.clicks >= static_cast<std::size_t>(4 * speed));
    CHECK(after.worst < allowed);
    const Comparison before = Compare(desk, clicks, 0);
    CHECK(before.clicks >= static_cast<std::size_t>(8 * speed));
  }
  desk.clock.SetSpeed(4, SteadySeconds());
  desk.Run(0.3);
  {
    const std::lock_guard lock(mutex);
    clicks.clear();
  }
  desk.Run(1);
  CHECK(clicks.empty());
  CHECK_FALSE(sound.Drift());
}

TEST_CASE("Without a device the clock goes on alone, and it is said once", "[sound]") {
  int opened = 0;
  SoundPlayer sound({}, [&](SoundOutput::Fill) -> Result<std::unique_ptr<SoundOutput>> {
    ++opened;
    return Error{ErrorCode::kUnreadable, "No sound: there is no device."};
  });
  Desk desk = DeskWithClicks(sound);
  desk.clock.Play(SteadySeconds());
  const double begun = SteadySeconds();
  desk.Run(1);
  CHECK(desk.clock.At(SteadySeconds()) == Approx(SteadySeconds() - begun).margin(0.01));
  CHECK(sound.TakeProblem() == "No sound: there is no device.");
  desk.clock.Jump(10, SteadySeconds());
  desk.Run(0.5);
  CHECK(sound.TakeProblem().empty());
  CHECK(opened == 1);
}

TEST_CASE("SDL's output that is none plays in time, and SDL's own failure is one sentence", "[sound]") {
  setenv("SDL_AUDIODRIVER", "dummy", 1);
  {
    SoundPlayer sound;
    Desk desk = DeskWithClicks(sound);
    desk.clock.Play(SteadySeconds());
    desk.Run(2);
    REQUIRE(sound.Drift());
    std::vector<double> drifts;
    for (int i = 0; i < 100; ++i) {
      desk.Run(0.02);
      if (const auto drift = sound.Drift()) drifts.push_back(std::abs(*drift));
    }
    REQUIRE(drifts.size() > 50);
    std::sort(drifts.begin(), drifts.end());
    CHECK(drifts[drifts.size() / 2] < 0.020);  // a busy machine lets the output wait now and then
    CHECK(sound.TakeProblem().empty());
  }
  setenv("SDL_AUDIODRIVER", "no such driver", 1);
  const auto none = OpenSoundDevice([](std::span<float>, double) {});
  REQUIRE_FALSE(none.ok());
  CHECK(none.error().message.find("no device that plays it") != std::string::npos);
  setenv("SDL_AUDIODRIVER", "dummy", 1);
}

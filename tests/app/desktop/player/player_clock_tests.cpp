// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/player_clock.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("The clock runs with its speed from where it was", "[player]") {
  PlayerClock clock;
  clock.SetTotal(100, 0);
  CHECK(clock.At(5) == 0);
  clock.Play(10);
  CHECK(clock.At(13) == Approx(3));
  clock.Faster(13);
  CHECK(clock.speed() == 2);
  CHECK(clock.At(14) == Approx(5));
  clock.Pause(14);
  CHECK(clock.At(50) == Approx(5));
  clock.Jump(40, 50);
  clock.SetSpeed(0.125, 50);
  clock.Play(50);
  CHECK(clock.At(58) == Approx(41));
}

TEST_CASE("Speeds stay between an eighth and eight", "[player]") {
  PlayerClock clock;
  for (int i = 0; i < 9; ++i) clock.Faster(0);
  CHECK(clock.speed() == 8);
  for (int i = 0; i < 20; ++i) clock.Slower(0);
  CHECK(clock.speed() == 0.125);
}

TEST_CASE("It stands at the end and plays from the start again", "[player]") {
  PlayerClock clock;
  clock.SetTotal(10, 0);
  clock.Jump(9, 0);
  clock.Play(0);
  CHECK(clock.At(5) == 10);
  CHECK(clock.AtEnd(5));
  clock.Pause(5);
  clock.Play(6);
  CHECK(clock.At(8) == Approx(2));
}

TEST_CASE("Backwards it runs to the start, and from there plays from the end again", "[player]") {
  PlayerClock clock;
  clock.SetTotal(10, 0);
  clock.Jump(4, 0);
  clock.Play(0, true);
  CHECK(clock.backwards());
  CHECK(clock.At(1) == Approx(3));
  clock.Faster(1);
  CHECK(clock.At(2) == Approx(1));
  CHECK_FALSE(clock.AtEnd(2));
  CHECK(clock.At(9) == 0);
  CHECK(clock.AtEnd(9));
  clock.Pause(9);
  clock.Play(9, true);
  CHECK(clock.At(10) == Approx(8));
  clock.Play(10);  // turns round where it is
  CHECK(clock.At(10.5) == Approx(9));
}

TEST_CASE("Held, it waits without forgetting that it plays", "[player]") {
  PlayerClock clock;
  clock.SetTotal(10, 0);
  clock.Play(0);
  clock.Hold(true, 2);
  CHECK(clock.At(7) == Approx(2));
  CHECK(clock.playing());
  clock.Hold(false, 7);
  CHECK(clock.At(8) == Approx(3));
  clock.Pause(8);
  clock.Hold(true, 8);
  CHECK_FALSE(clock.held());  // a resting clock has nothing to wait for
}

TEST_CASE("Without a recording it rests at zero, and time that goes back does not turn it", "[player]") {
  PlayerClock clock;
  clock.Play(3);
  CHECK(clock.At(9) == 0);
  clock.SetTotal(10, 9);
  clock.Play(9);
  CHECK(clock.At(4) == clock.At(9));
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/player_clock.hpp"

#include <algorithm>

namespace afterscope {
namespace {
constexpr double kSlowest = 0.125;
constexpr double kFastest = 8;
}  // namespace

double PlayerClock::At(double now) const {
  const double run = playing_ && !held_ ? std::max(0.0, now - anchor_now_) * speed_ : 0;
  return std::clamp(anchor_seconds_ + (backwards_ ? -run : run), 0.0, std::max(0.0, total_));
}

void PlayerClock::Anchor(double now) {
  anchor_seconds_ = At(now);
  anchor_now_ = now;
}

void PlayerClock::SetTotal(double total_seconds, double now) {
  // The place is kept even where the new total is not known yet.
  const double at = playing_ ? At(now) : anchor_seconds_;
  total_ = total_seconds;
  anchor_seconds_ = at;
  anchor_now_ = now;
}

void PlayerClock::Play(double now, bool backwards) {
  Anchor(now);
  backwards_ = backwards;
  if (AtEnd(now)) anchor_seconds_ = backwards ? total_ : 0;
  playing_ = true;
}

void PlayerClock::Pause(double now) {
  Anchor(now);
  playing_ = false;
  held_ = false;
}

void PlayerClock::Jump(double seconds, double now) {
  anchor_seconds_ = seconds;
  anchor_now_ = now;
}

void PlayerClock::SetSpeed(double speed, double now) {
  Anchor(now);
  speed_ = std::clamp(speed, kSlowest, kFastest);
}

void PlayerClock::Faster(double now) { SetSpeed(speed_ * 2, now); }
void PlayerClock::Slower(double now) { SetSpeed(speed_ / 2, now); }

void PlayerClock::Hold(bool held, double now) {
  if (held == held_) return;
  Anchor(now);
  held_ = held && playing_;
}

void PlayerClock::Correct(double seconds, double now) { Jump(seconds, now); }

}  // namespace afterscope

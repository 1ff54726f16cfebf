// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/stretch_walk.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

constexpr double kSlack = 0.6;  // seconds around a stretch: frames and the steps of a clock

}  // namespace

void StretchWalk::Start(std::vector<Stretch> stretches, std::size_t first) {
  stretches_ = std::move(stretches);
  place_ = first;
  phase_ = first < stretches_.size() ? Phase::kToOpen : Phase::kOff;
}

const Stretch* StretchWalk::Now() const { return on() ? &stretches_[place_] : nullptr; }

void StretchWalk::Turn(int direction) {
  if (!on()) return;
  place_ = (place_ + (direction > 0 ? 1 : stretches_.size() - 1)) % stretches_.size();
  phase_ = Phase::kToOpen;
}

bool StretchWalk::Left(const Sight& sight) const {
  const Stretch& now = stretches_[place_];
  return sight.folder != now.folder || sight.seconds < now.start_s - kSlack ||
         sight.seconds > now.end_s + kSlack;
}

StretchWalk::Act StretchWalk::Follow(const Sight& sight) {
  if (!on()) return Act::kNothing;
  const Stretch& now = stretches_[place_];
  const bool open = sight.folder == now.folder && sight.ready;
  switch (phase_) {
    case Phase::kToOpen:
      phase_ = Phase::kOpening;
      if (!open) return Act::kOpen;
      break;
    case Phase::kStarting:
      if (Left(sight)) return Act::kNothing;  // the jump has not arrived
      phase_ = Phase::kPlaying;
      return Act::kNothing;
    case Phase::kPlaying: {
      const bool case_ends = sight.seconds >= sight.total_s - kSlack / 4 && !sight.playing;
      if (Left(sight)) {
        // Playing on past the end is the end, anything else was somebody's wish.
        const bool over = sight.folder == now.folder && sight.playing && sight.seconds > now.end_s &&
                          sight.seconds < now.end_s + 8 * kSlack;
        if (!over) {
          Stop();
          return Act::kNothing;
        }
      } else if (sight.seconds < now.end_s && !case_ends) {
        return Act::kNothing;
      }
      if (place_ + 1 == stretches_.size()) {
        Stop();
        return Act::kRest;
      }
      ++place_;
      phase_ = Phase::kToOpen;
      return Act::kNothing;
    }
    default:
      break;
  }
  if (!open) return Act::kNothing;
  phase_ = Phase::kStarting;
  return Act::kPlay;
}

std::string PlaceText(const StretchWalk& walk) {
  return fmt::format("{} of {}", walk.place() + 1, walk.count());
}

}  // namespace afterscope

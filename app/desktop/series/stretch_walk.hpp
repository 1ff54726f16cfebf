// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_stretches.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Stretches of several cases, played one after another. Pure: it is told what is seen and says what to do.
class StretchWalk {
 public:
  // How things stand, once a frame.
  struct Sight {
    std::string folder;  // of the case that is open
    bool ready = false;  // its recordings are known, so that it can be played
    double seconds = 0;  // where its playhead is, on the case clock
    double total_s = 0;  // how long the case lasts
    bool playing = false;
  };
  enum class Act {
    kNothing,
    kOpen,  // the case of the present stretch
    kPlay,  // jump to the present stretch's start and play
    kRest   // pause: the last stretch is over
  };

  void Start(std::vector<Stretch> stretches, std::size_t first);
  void Stop() { phase_ = Phase::kOff; }
  bool on() const { return phase_ != Phase::kOff; }
  // The stretch that is being played, while it is on.
  const Stretch* Now() const;
  std::size_t place() const { return place_; }
  std::size_t count() const { return stretches_.size(); }
  // Goes to the next (1) or the one before (-1), round the end.
  void Turn(int direction);

  // A pause within a stretch only waits; a jump out of it, or another case, ends the walk.
  Act Follow(const Sight& sight);

 private:
  enum class Phase { kOff, kToOpen, kOpening, kStarting, kPlaying };
  bool Left(const Sight& sight) const;

  std::vector<Stretch> stretches_;
  std::size_t place_ = 0;
  Phase phase_ = Phase::kOff;
};

// "2 of 7".
std::string PlaceText(const StretchWalk& walk);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <chrono>

namespace afterscope {

// When long work should put away what it has: every ten seconds, less often where putting away takes long, so
// that it never takes more than a twentieth of the time.
class KeepNow {
 public:
  using Clock = std::chrono::steady_clock;

  explicit KeepNow(Clock::time_point now = Clock::now()) : done_(now), began_(now) {}

  // If so, putting away begins.
  bool IsDue(Clock::time_point now = Clock::now()) {
    if (now - done_ < wait_) return false;
    began_ = now;
    return true;
  }
  // It was put away.
  void Done(Clock::time_point now = Clock::now()) {
    done_ = now;
    wait_ = std::max<Clock::duration>(kLeast, 20 * (done_ - began_));
  }

 private:
  static constexpr std::chrono::seconds kLeast{10};
  Clock::time_point done_, began_;
  Clock::duration wait_ = kLeast;
};

}  // namespace afterscope

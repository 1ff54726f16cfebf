// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/rational.hpp"

#include <cstdint>
#include <optional>

namespace afterscope {

// Makes the timestamps of frames in display order strictly increasing, so that each names one frame. A
// missing one continues by the last step; where the file jumps back by a second or more, what follows is
// moved behind what came before; a smaller step back puts the frame one tick after its predecessor. All
// others stay as they are.
class TimestampRepair {
 public:
  // `usual_step` in ticks, at least 1, for frames without a duration. `first`: given to the first frame if it
  // has none.
  TimestampRepair(Rational time_base, std::int64_t usual_step, std::int64_t first = 0);

  // `ticks` empty: the file gives none. `duration` 0: not known.
  std::int64_t Next(std::optional<std::int64_t> ticks, std::int64_t duration);

  std::int64_t missing() const { return missing_; }  // so many were made up
  std::int64_t jumps_back() const { return jumps_back_; }
  std::int64_t out_of_order() const { return out_of_order_; }
  std::int64_t usual_step() const { return usual_step_; }

 private:
  std::optional<std::int64_t> Moved(std::int64_t ticks) const;

  std::int64_t second_;  // in ticks
  std::int64_t usual_step_;
  std::int64_t first_;
  std::optional<std::int64_t> last_;
  std::int64_t step_;
  std::int64_t offset_ = 0;
  std::int64_t previous_offset_ = 0;
  std::int64_t missing_ = 0;
  std::int64_t jumps_back_ = 0;
  std::int64_t out_of_order_ = 0;
};

// A frame's length by the declared rate, or a twenty-fifth of a second where none is declared; at least 1
// tick.
std::int64_t UsualStep(Rational time_base, Rational declared_rate);

}  // namespace afterscope

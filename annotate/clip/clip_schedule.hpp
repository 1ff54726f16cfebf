// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/clip/clip_plan.hpp"

#include <cstdint>
#include <vector>

namespace afterscope {

// Which instant of which part a frame of the clip shows.
struct ClipInstant {
  std::size_t part = 0;
  double into_part = 0;     // seconds of the clip since the part's beginning
  double case_seconds = 0;  // on the clock of the part's case; a title's is 0
};

// The frames of a clip, at a constant rate. Frame n of a part shows what is on screen n / rate seconds (times
// the speed) after its start; every part has at least one frame.
class ClipSchedule {
 public:
  // `clocks[i]`: of the case of part i.
  ClipSchedule(const ClipPlan& plan, const std::vector<CaseClock>& clocks);

  std::int64_t frames() const { return first_.back(); }
  // 0 <= frame < frames().
  ClipInstant At(std::int64_t frame) const;
  // Of a part, in frames of the clip.
  std::int64_t FirstFrame(std::size_t part) const { return first_[part]; }
  std::int64_t FrameCount(std::size_t part) const { return first_[part + 1] - first_[part]; }
  // The first frame of a part that its fade does not darken, or the middle one.
  std::int64_t SeenBeginning(std::size_t part) const;
  double LengthOf(std::size_t part) const { return Seconds(FrameCount(part)); }
  double Seconds(std::int64_t frame) const { return static_cast<double>(frame) / rate_; }

 private:
  struct Part {
    double start = 0;  // on the case clock
    double speed = 0;  // 0: stands still
    double fade = 0;   // seconds
  };
  double rate_;
  std::vector<Part> parts_;
  std::vector<std::int64_t> first_;  // one more than parts
};

// How far a slow start and a slow end have come at a share of the time: 0 at 0, 1 at 1, at rest at both
// (3 t^2 - 2 t^3).
double Eased(double share);

// How bright, and how loud, a part is `into` seconds after its beginning: it comes from nothing and goes to
// nothing in `fade` seconds, or half of its length where that is less.
double FadeShare(double fade, double into, double length);

// The view between two, at a share of the way; zoom goes by equal ratios.
ClipView ViewBetween(const ClipView& from, const ClipView& to, double share);

}  // namespace afterscope

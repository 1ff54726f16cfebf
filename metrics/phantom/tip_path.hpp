// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <vector>

namespace afterscope::phantom {

// Share of a reach done at share `s` of its time: minimum jerk, 10 s^3 - 15 s^4 + 6 s^5 (Flash and Hogan
// 1985), 0 before and 1 after.
double MinimumJerk(double s);

// One purposeful movement in [start_s, end_s]: straight, or (`round`) turning about `centre` with the
// distance from it changing evenly.
struct Reach {
  double start_s = 0;
  double end_s = 0;
  PointMm from;
  PointMm to;
  bool round = false;
  PointMm centre;
  double sweep = 0;  // radians, from +x towards +y positive; only if round

  PointMm At(double seconds) const;
};

// A tip's movements, in order of time, resting between them.
class TipPath {
 public:
  TipPath() = default;
  TipPath(double start_s, PointMm start) : start_(start), end_s_(start_s), end_(start) {}

  TipPath& Rest(double seconds);
  TipPath& To(PointMm target, double seconds);
  // About `centre` by `sweep`, ending at distance `end_radius_mm` from it.
  TipPath& Round(PointMm centre, double sweep, double end_radius_mm, double seconds);

  PointMm At(double seconds) const;
  OffsetMm VelocityAt(double seconds) const;  // mm/s
  double end_s() const { return end_s_; }
  PointMm end() const { return end_; }
  const std::vector<Reach>& reaches() const { return reaches_; }

 private:
  PointMm start_;
  double end_s_ = 0;
  PointMm end_;
  std::vector<Reach> reaches_;
};

}  // namespace afterscope::phantom

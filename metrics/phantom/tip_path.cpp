// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/tip_path.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {

double MinimumJerk(double s) {
  const double t = std::clamp(s, 0.0, 1.0);
  return t * t * t * (10 + t * (-15 + 6 * t));
}

PointMm Reach::At(double seconds) const {
  const double share = MinimumJerk((seconds - start_s) / (end_s - start_s));
  if (!round) return Lerp(from, to, share);
  const OffsetMm arm = from - centre;
  const double radius = arm.Length() + share * (Distance(to, centre) - arm.Length());
  const double angle = std::atan2(arm.y, arm.x) + share * sweep;
  return {centre.x + radius * std::cos(angle), centre.y + radius * std::sin(angle)};
}

TipPath& TipPath::Rest(double seconds) {
  end_s_ += seconds;
  return *this;
}

TipPath& TipPath::To(PointMm target, double seconds) {
  reaches_.push_back({end_s_, end_s_ + seconds, end_, target, false, {}, 0});
  end_s_ += seconds;
  end_ = target;
  return *this;
}

TipPath& TipPath::Round(PointMm centre, double sweep, double end_radius_mm, double seconds) {
  const OffsetMm arm = end_ - centre;
  const double angle = std::atan2(arm.y, arm.x) + sweep;
  const PointMm target{centre.x + end_radius_mm * std::cos(angle),
                       centre.y + end_radius_mm * std::sin(angle)};
  reaches_.push_back({end_s_, end_s_ + seconds, end_, target, true, centre, sweep});
  end_s_ += seconds;
  end_ = target;
  return *this;
}

PointMm TipPath::At(double seconds) const {
  PointMm at = start_;
  for (const Reach& reach : reaches_) {
    if (seconds < reach.start_s) break;
    at = seconds < reach.end_s ? reach.At(seconds) : reach.to;
  }
  return at;
}

OffsetMm TipPath::VelocityAt(double seconds) const {
  constexpr double kHalfStep = 0.005;
  return (At(seconds + kHalfStep) - At(seconds - kHalfStep)) / (2 * kHalfStep);
}

}  // namespace afterscope::phantom

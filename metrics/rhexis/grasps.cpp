// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/grasps.hpp"

#include "metrics/base/count_limits.hpp"

#include <algorithm>

namespace afterscope {
namespace {

bool Holds(const HalfOpen<double>& range, double at) { return at >= range.start && at < range.end; }

}  // namespace

GraspDoubts DoubtGrasps(const std::vector<double>& grasps, const std::vector<double>& speeds,
                        const TipStays& stays, double too_fast, double least_stay) {
  GraspDoubts out;
  for (std::size_t i = 0; i < grasps.size(); ++i) {
    const bool outside = std::any_of(stays.out_of_eye.begin(), stays.out_of_eye.end(),
                                     [&](const auto& range) { return Holds(range, grasps[i]); });
    out.outside += outside;
    out.moving += !outside && speeds[i] > too_fast;
  }
  for (const HalfOpen<double>& stay : stays.in_eye) {
    if (stay.end - stay.start < least_stay) continue;
    out.without +=
        std::none_of(grasps.begin(), grasps.end(), [&](double grasp) { return Holds(stay, grasp); });
  }
  return out;
}

Estimate CountRegrasps(int grasps, const GraspDoubts& doubts, const GraspError& error) {
  const int added = MostByChance(error.added * grasps) + doubts.Marks();
  const int overlooked = MostByChance(error.overlooked / (1 - error.overlooked) * grasps) + doubts.without;
  return {static_cast<double>(std::max(0, grasps - 1)), static_cast<double>(std::max(0, grasps - 1 - added)),
          static_cast<double>(std::max(0, grasps - 1 + overlooked)), 0.95};
}

}  // namespace afterscope

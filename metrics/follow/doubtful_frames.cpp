// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/doubtful_frames.hpp"

#include <algorithm>

namespace afterscope {

std::vector<std::size_t> DoubtfulFrames(const std::vector<FollowedPoint>& points, double least,
                                        std::size_t most, std::size_t apart) {
  std::vector<std::size_t> order, out, taken;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (points[i].by_hand)
      taken.push_back(i);
    else if (points[i].confidence < least)
      order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return points[a].confidence < points[b].confidence; });
  for (const std::size_t i : order) {
    if (out.size() == most) break;
    const bool near = std::any_of(taken.begin(), taken.end(),
                                  [&](std::size_t t) { return (t > i ? t - i : i - t) < apart; });
    if (near) continue;
    out.push_back(i);
    taken.push_back(i);
  }
  return out;
}

double BelievedShare(const std::vector<FollowedPoint>& points, double least) {
  if (points.empty()) return 0;
  const auto believed = std::count_if(
      points.begin(), points.end(), [&](const FollowedPoint& p) { return p.pose && p.confidence >= least; });
  return static_cast<double>(believed) / static_cast<double>(points.size());
}

}  // namespace afterscope

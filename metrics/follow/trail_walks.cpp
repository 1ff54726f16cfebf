// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/trail_walks.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

double& LikenessOf(TipEvidence& evidence, WalkDirection direction) {
  return direction == WalkDirection::kForth ? evidence.forth : evidence.back;
}

std::uint8_t BitOf(const WalkKind& walk) {
  static_assert(2 * kTipSights.size() <= 8);
  return static_cast<std::uint8_t>(1U
                                   << (2 * walk.sight + (walk.direction == WalkDirection::kForth ? 0 : 1)));
}

}  // namespace

std::vector<std::optional<TipWalk::Step>> WalkOver(const std::vector<WalkFrame>& frames, const TipPose& start,
                                                   double px_per_mm, const TipSight& sight) {
  std::vector<std::optional<TipWalk::Step>> out(frames.size());
  if (frames.empty() || frames.front().still->empty()) return out;
  TipWalk walk(*frames.front().still, start, px_per_mm, sight);
  for (std::size_t i = 1; i < frames.size(); ++i)
    out[i] = walk.Next(*frames[i].still, std::abs(frames[i].seconds - frames[i - 1].seconds), frames[i].sure);
  return out;
}

void AddWalked(const TipCandidate& alone, double likeness, bool arrived, const WalkKind& walk, double same_px,
               std::vector<TipCandidate>& candidates) {
  const auto note = [&](TipCandidate& c) {
    double& known = LikenessOf(c.evidence, walk.direction);
    known = std::max(known, likeness);
    c.evidence.walked_by |= BitOf(walk);
    c.evidence.arrived += arrived;
    c.odds = OddsOf(c.evidence);
  };
  const auto nearest = std::min_element(
      candidates.begin(), candidates.end(), [&](const TipCandidate& a, const TipCandidate& b) {
        return Distance(a.pose.tip, alone.pose.tip) < Distance(b.pose.tip, alone.pose.tip);
      });
  if (nearest == candidates.end() || Distance(nearest->pose.tip, alone.pose.tip) > same_px) {
    candidates.push_back(alone);
    return note(candidates.back());
  }
  if (!(nearest->evidence.score > 0)) {
    nearest->pose.tip = Lerp(nearest->pose.tip, alone.pose.tip, 0.5);
    nearest->evidence.fit = std::max(nearest->evidence.fit, alone.evidence.fit);
  }
  note(*nearest);
}

}  // namespace afterscope

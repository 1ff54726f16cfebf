// SPDX-License-Identifier: Apache-2.0
// What TrailFollower does from frame to frame.
#include "metrics/follow/trail_follower.hpp"

#include <algorithm>
#include <set>

namespace afterscope {
namespace {

constexpr double kSureOdds = 0.5;  // of a place that a walk goes by
constexpr double kBroken = 0.5;    // what a walk's likeness counts once it was lost

}  // namespace

void TrailFollower::Walk() {
  if (hand_.empty()) return;
  std::optional<std::size_t> from;
  for (const auto& [to, hand] : hand_) {
    WalkStretch(from, to);
    from = to;
  }
  WalkStretch(from, {});
}

void TrailFollower::WalkStretch(std::optional<std::size_t> from, std::optional<std::size_t> to) {
  const std::size_t first = from ? *from + 1 : 0, end = to.value_or(size());
  // All of a stretch or nothing, what was put back included.
  if (std::any_of(walked_.begin() + static_cast<std::ptrdiff_t>(first),
                  walked_.begin() + static_cast<std::ptrdiff_t>(end),
                  [](char walked) { return walked != 0; }))
    return;
  std::vector<std::vector<TipPose>> sure(end);
  for (std::size_t i = first; i < end; ++i) {
    std::vector<TipCandidate> clear = candidates_[i];
    std::erase_if(clear, [](const TipCandidate& c) { return c.odds < kSureOdds; });
    std::sort(clear.begin(), clear.end(),
              [](const TipCandidate& a, const TipCandidate& b) { return a.odds > b.odds; });
    for (const TipCandidate& c : clear) sure[i].push_back(view_.ToStill(c.pose));
  }
  for (std::size_t sight = 0; sight < kTipSights.size(); ++sight) {
    if (from) WalkFrom(*from, to, sure, WalkDirection::kForth, sight);
    if (to) WalkFrom(*to, from, sure, WalkDirection::kBack, sight);
  }
  for (std::size_t i = first; i < end; ++i) walked_[i] = 1;
}

// From a point set by hand to the next (or the end); on a frame set by hand nothing is known.
void TrailFollower::WalkFrom(std::size_t start, std::optional<std::size_t> goal,
                             const std::vector<std::vector<TipPose>>& sure, WalkDirection direction,
                             std::size_t sight) {
  const bool forth = direction == WalkDirection::kForth;
  std::vector<std::size_t> order{start};
  if (forth)
    for (std::size_t i = start + 1; i < goal.value_or(size()); ++i) order.push_back(i);
  else
    for (std::size_t i = start; i-- > (goal ? *goal + 1 : 0);) order.push_back(i);
  if (goal) order.push_back(*goal);
  std::vector<WalkFrame> frames;
  for (const std::size_t i : order) {
    const auto hand = hand_.find(i);
    const bool set = hand != hand_.end();
    frames.push_back({view_.SecondsAt(i), set ? &hand->second.still : &stills_[i],
                      set ? std::vector<TipPose>() : sure[i]});
  }
  const auto steps =
      WalkOver(frames, view_.ToStill(hand_.at(start).in_eye), view_.StillPxPerMm(), kTipSights[sight]);
  bool arrived = false;
  if (goal && steps.back() && steps.back()->unbroken)
    arrived = Distance(view_.FromStill(steps.back()->pose).tip, hand_.at(*goal).in_eye.tip) <
              kFoundMm * view_.px_per_mm();
  for (std::size_t k = 1; k < order.size(); ++k) {
    if (!steps[k] || (goal && order[k] == *goal)) continue;
    AddWalked(CandidateAt(order[k], *steps[k], *frames[k].still),
              steps[k]->likeness * (steps[k]->unbroken ? 1 : kBroken), arrived, {direction, sight},
              kSameMm * view_.px_per_mm(), candidates_[order[k]]);
  }
}

TipCandidate TrailFollower::CandidateAt(std::size_t index, const TipWalk::Step& step,
                                        const cv::Mat& still) const {
  const double scale = view_.StillPxPerMm();
  TipCandidate out;
  out.pose = view_.FromStill(step.pose);
  const double half_mm = MakeExact(index, FreedStill(still), out);
  const TipPose in_still = view_.ToStill(out.pose);
  const ShaftEnd end = ShaftEndAt(SharpDifference(still, scale), in_still, scale, half_mm);
  out.evidence.by_ground = by_ground_;
  out.evidence.behind = end.behind, out.evidence.beyond = end.beyond;
  out.evidence.off_pivot = pivot_ ? DegreesOffPivot(out.pose, *pivot_, Limbus()) : 0;
  out.evidence.seconds = SecondsToHand(index);
  out.glimpse = GlimpseOf(still, in_still, scale);
  return out;
}

std::vector<std::size_t> TrailFollower::FramesToShowAgain() const {
  std::set<std::size_t> walked;
  for (std::size_t i = 0; i < size(); ++i)
    if (walked_[i]) walked.insert(StretchOf(i));
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < size(); ++i)
    if (looked_[i] && stills_[i].empty() && !hand_.contains(i) && !walked.contains(StretchOf(i)))
      out.push_back(i);
  return out;
}

void TrailFollower::ShowAgain(std::size_t index, const cv::Mat& picture) {
  if (index >= size() || picture.empty()) return;
  stills_[index] = view_.StillOf(index, view_.Small(picture));
}

}  // namespace afterscope

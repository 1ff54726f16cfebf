// SPDX-License-Identifier: Apache-2.0
// What TrailFollower learns from points set by hand.
#include "metrics/follow/find_shaft.hpp"
#include "metrics/follow/mean_pose.hpp"
#include "metrics/follow/trail_follower.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace afterscope {
namespace {

constexpr std::size_t kAgreeing = 10;
constexpr double kAgreeFit = 0.75, kMostAgreedMm = 0.35;  // looks less alike or farther off are not heard
constexpr double kOneSight = 1.0 / kTipSights.size();     // weight of each of its fits
constexpr int kAgreeRounds = 2;
constexpr int kClearlyMore = 2;
constexpr double kMovedPx = 0.2;                    // less than that changes no look
constexpr std::size_t kGuesses = 4, kCompared = 6;  // of wounds; ends, each with each
constexpr double kClearlyAlike = 0.1;               // more alike by that
constexpr double kMostOffPivot = 20;                // degrees; a shaft farther off was not found right ...
constexpr double kTurned = 12;  // ... and is looked for within that of where the wound says

}  // namespace

void TrailFollower::SetByHand(std::size_t index, const cv::Mat& picture, PointPx tip,
                              std::optional<Angle> shaft) {
  if (index >= size() || picture.empty() || !std::isfinite(tip.x) || !std::isfinite(tip.y)) return;
  Hand& hand = hand_[index];
  hand.set = view_.FromPicture(tip), hand.shaft = shaft;
  hand.small = view_.Small(picture).clone();
  hand.view.release(), hand.ends = {};
  LookAnewAround(index);
}

// Everything up to the neighbours set by hand is to be looked at with new eyes.
void TrailFollower::LookAnewAround(std::size_t index) {
  const auto here = hand_.find(index);
  const std::size_t from = here == hand_.begin() ? 0 : std::prev(here)->first;
  const std::size_t to = std::next(here) == hand_.end() ? size() : std::next(here)->first;
  for (std::size_t i = from; i < to; ++i) looked_[i] = walked_[i] = 0;
}

void TrailFollower::Learn() {
  if (hand_.empty()) return;
  view_.FinishGround();
  FindShafts();
  for (auto& [index, hand] : hand_)
    if (!hand.ends.front()) LearnLook(index, hand);
  for (int round = 0; round < kAgreeRounds; ++round) {
    std::vector<TipPose> agreed;
    for (const auto& [index, hand] : hand_) agreed.push_back(Agreed(index, hand));
    auto next = agreed.begin();
    for (auto& [index, hand] : hand_) {
      const bool moved = Distance(next->tip, hand.pose.tip) > kMovedPx;
      hand.pose = *next++;
      if (moved) LearnLook(index, hand);
    }
  }
  for (auto& [index, hand] : hand_) {
    hand.in_eye = view_.InEye(index, hand.pose);
    hand.glimpse = GlimpseOf(hand.small, hand.pose, MmAt(index));
  }
  pivot_ = Pivot();
  FindLineEnds();
  FindHands();
  filters_.clear();
  for (const std::size_t i : FramesToLookAt())
    if (const std::size_t stretch = StretchOf(i); !filters_.contains(stretch))
      filters_[stretch] = looks_.FilterFor(LooksFor(i));
}

void TrailFollower::FindLineEnds() {
  std::vector<std::optional<double>> ends;
  for (const auto& [index, hand] : hand_)
    if (!NearWound(hand))
      ends.push_back(LineEnd(hand.freed.front(), view_.ToStill(hand.in_eye), view_.StillPxPerMm()));
  line_ends_.Learn(ends);
}

// Each point set by hand is looked for without it, in both ways; by look only if that finds clearly more.
void TrailFollower::FindHands() {
  by_ground_ = true;
  if (hand_.size() < 2) return;
  int found_by_ground = 0, found_by_look = 0, all = 0;
  for (auto& [index, hand] : hand_) {
    if (NearWound(hand)) continue;
    const TipFilter filter = looks_.FilterFor(LooksFor(index), hand.look);
    const auto found = [&, &at = index, &set = hand](bool by_ground) {
      by_ground_ = by_ground;
      const std::vector<TipCandidate> candidates = Candidates(at, set.small, set.still, filter);
      return std::any_of(candidates.begin(), candidates.end(), [&](const TipCandidate& c) {
        return Distance(c.pose.tip, set.in_eye.tip) < kFoundMm * view_.px_per_mm();
      });
    };
    ++all, found_by_ground += found(true), found_by_look += found(false);
  }
  by_ground_ = 2 * found_by_ground >= all || found_by_look < found_by_ground + kClearlyMore;
}

// All points together tell where the wound is, and that the directions: a single one may be taken for that of
// another instrument, or for what lies behind.
void TrailFollower::FindShafts() {
  std::vector<ScoredTip> tips;
  for (auto& [index, hand] : hand_) {
    if (hand.view.empty()) ScoreShaft(index, hand);
    tips.push_back({hand.in_eye.tip, hand.shafts});
  }
  // The best of the guesses, and whether the ends look more alike without one: held from outside the eye.
  std::optional<Angle> wound;
  double best = 0;
  for (const WoundGuess& guess : GuessWounds(tips, Limbus(), kGuesses)) {
    const double value = guess.likely + EndsAlike(guess.direction);
    if (value > best) best = value, wound = guess.direction;
  }
  if (wound && EndsAlike({}) > EndsAlike(wound) + kClearlyAlike) wound.reset();
  for (auto& [index, hand] : hand_) {
    const Angle expected = ShaftOf(hand, wound);
    const double off = std::abs(std::remainder((hand.in_eye.shaft - expected).degrees(), 360.0));
    if (!hand.shaft && off > kMostOffPivot) TurnShaft(index, hand, expected);
  }
}

// In the eye's frame: as a wound has it, or as found alone.
Angle TrailFollower::ShaftOf(const Hand& hand, std::optional<Angle> wound) const {
  if (hand.shaft) return hand.in_eye.shaft;
  return wound ? ShaftThrough(*wound, hand.in_eye.tip, Limbus()) : hand.alone;
}

// How alike the ends of the shafts look, 0 to 1, with those directions: they are all of one instrument.
double TrailFollower::EndsAlike(std::optional<Angle> wound) const {
  struct End {
    const Hand* hand;
    TipPose pose;
    OfEachSight<std::optional<TipTemplate>> looks;
  };
  const double scale = view_.StillPxPerMm();
  std::vector<End> ends;
  for (const auto& [index, hand] : hand_) {
    if (!WithinLimbus(hand.in_eye.tip) || ends.size() == kCompared) continue;
    const Angle near = view_.InView(index, {hand.in_eye.tip, ShaftOf(hand, wound)}).shaft;
    const Angle found =
        hand.shaft ? *hand.shaft
                   : FindShaftNear(hand.small, hand.set, MmAt(index), near, Angle::Degrees(kTurned)).shaft;
    const TipPose pose = view_.ToStill(view_.InEye(index, {hand.set, found}));
    ends.push_back({&hand, pose, EndsAt(hand.freed, pose)});
  }
  double sum = 0, pairs = 0;
  for (const End& a : ends)
    for (const End& b : ends) {
      if (&a == &b) continue;
      double best = 0;
      for (std::size_t s = 0; s < kTipSights.size(); ++s)
        best = std::max(best, a.looks[s]->Fitted(b.hand->freed[s], b.pose, scale, kMostAgreedMm).likeness);
      sum += best, ++pairs;
    }
  return pairs > 0 ? sum / pairs : 0;
}

void TrailFollower::ScoreShaft(std::size_t index, Hand& hand) {
  hand.view = view_.AgainstGroundOf(index, hand.small);
  hand.still = view_.StillOf(index, hand.small), hand.freed = FreedStill(hand.still);
  hand.pose = {hand.set, hand.shaft ? *hand.shaft : FindShaft(hand.view, hand.set, MmAt(index)).shaft};
  hand.in_eye = view_.InEye(index, hand.pose);
  hand.alone = hand.in_eye.shaft;
  const ShaftScores by_ground = ScoreShafts(hand.view, hand.set, MmAt(index)),
                    as_seen = ScoreShafts(hand.small, hand.set, MmAt(index));
  hand.shafts = {};
  if (hand.shaft)
    hand.shafts[ShaftStepOf(hand.in_eye.shaft)] = 1;
  else
    for (std::size_t k = 0; k < hand.shafts.size(); ++k)
      hand.shafts[ShaftStepOf(hand.in_eye.shaft - hand.pose.shaft, static_cast<int>(k))] =
          by_ground[k] + as_seen[k];
}

void TrailFollower::TurnShaft(std::size_t index, Hand& hand, Angle in_eye) {
  const Angle near = view_.InView(index, {hand.in_eye.tip, in_eye}).shaft;
  const FoundShaft found = FindShaftNear(hand.small, hand.set, MmAt(index), near, Angle::Degrees(kTurned));
  hand.pose.shaft = found.trust > 0 ? found.shaft : near;
  hand.in_eye = view_.InEye(index, hand.pose);
  if (!hand.ends.front()) return;
  LearnLook(index, hand);
  LookAnewAround(index);
}

OfEachSight<std::optional<TipTemplate>> TrailFollower::EndsAt(const OfEachSight<cv::Mat>& freed,
                                                              const TipPose& in_still) const {
  const double scale = view_.StillPxPerMm();
  OfEachSight<std::optional<TipTemplate>> out;
  for (std::size_t s = 0; s < kTipSights.size(); ++s)
    out[s].emplace(freed[s], in_still, scale, scale, kTipSights[s].width);
  return out;
}

void TrailFollower::LearnLook(std::size_t index, Hand& hand) {
  const TipRegion whole = InView(
      index,
      {view_.eye(), options_.most_reach_mm * view_.px_per_mm(), view_.InEye(index, hand.pose).shaft, {}});
  hand.ends = EndsAt(hand.freed, view_.ToStill(view_.InEye(index, hand.pose)));
  hand.opened.clear();
  for (const double half_mm : kOpenings) hand.opened.push_back(hand.ends.back()->Opened(half_mm));
  hand.look = looks_.Learn(hand.view, hand.pose, whole, view_.ZoomAt(index), hand.look);
}

TipPose TrailFollower::Agreed(std::size_t index, const Hand& hand) const {
  MeanPose mean(hand.pose);
  mean.Add({hand.set, hand.pose.shaft}, 1);
  const TipPose start = view_.ToStill(view_.InEye(index, hand.pose));
  for (const Hand* other : HandsNear(index, kAgreeing))
    for (std::size_t s = 0; s < kTipSights.size(); ++s) {
      const auto fit = other->ends[s]->Fitted(hand.freed[s], start, view_.StillPxPerMm(), kMostAgreedMm);
      if (fit.likeness >= kAgreeFit) mean.Add(view_.InView(index, view_.FromStill(fit.pose)), kOneSight);
    }
  return mean.Mean();
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/trail_follower.hpp"

#include "metrics/follow/find_shaft.hpp"
#include "metrics/follow/shaft_ends.hpp"
#include "metrics/follow/smooth_trail.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kLeastFit = 0.6;  // below it a look laid over the picture tells nothing of the place
constexpr double kFitSharp = 12;   // how much more a better fit counts, a unit of likeness
constexpr std::size_t kNear = 12,
                      kLaid = 3;  // looks laid over a place: of those nearest in time the most alike
constexpr std::size_t kAgreeing = 10;
constexpr double kAgreeFit = 0.75, kMostAgreedMm = 0.35;  // looks less alike or farther off are not heard
constexpr int kAgreeRounds = 2;
constexpr double kFoundMm = 0.3;  // a hand-set point found within that was found ...
constexpr int kClearlyMore = 2;
constexpr double kNearWoundMm = 1;  // there no shaft's end is looked for
constexpr double kByLook = 3;       // a place found by its look alone is believed less (logarithm of odds)
constexpr double kTestSeconds = 4;  // ... which says half as much of a frame so far away
constexpr double kMovedPx = 0.2;    // less than that changes no look
constexpr double kMeanLimbusMm = 11.3;  // of its two diameters: design, "Scale" and "Tilt"
constexpr double kMostOffPivot = 30;    // degrees; a shaft farther off was not found right

Angle Between(Angle a, Angle b, double share) {
  return a + Angle::Radians(share * std::remainder((b - a).radians(), 2 * std::numbers::pi));
}
double TurnFrom(Angle a, Angle b) { return std::remainder((b - a).radians(), 2 * std::numbers::pi); }

// That the tip is within 0.3 mm of the place: logistic regression on followed phantoms (5,500 frames of seeds
// 300 to 307, in three states of correction). Places found by look are too few among them: kByLook is a guess
// on the safe side.
double Confidence(const FollowedPoint& p) {
  const double x = -1.47 + 0.012 * std::min(p.margin, 15.0) + 0.82 * std::clamp(p.odds, -6.0, 6.0) -
                   1.93 * std::log1p(p.evidence.seconds) + 7.39 * p.proven -
                   (p.evidence.by_ground ? 0 : kByLook);
  return 1 / (1 + std::exp(-x));
}

// The mean of several poses near one, each with a weight.
class MeanPose {
 public:
  explicit MeanPose(const TipPose& near) : near_(near) {}
  void Add(const TipPose& pose, double weight) {
    shift_ = shift_ + weight * (pose.tip - near_.tip);
    turn_ += weight * TurnFrom(near_.shaft, pose.shaft);
    sum_ += weight;
  }
  TipPose Mean() const {
    if (!(sum_ > 0)) return near_;
    return {near_.tip + shift_ / sum_, near_.shaft + Angle::Radians(turn_ / sum_)};
  }

 private:
  TipPose near_;
  OffsetPx shift_;
  double turn_ = 0, sum_ = 0;
};

}  // namespace

TrailFollower::TrailFollower(std::vector<double> seconds, double px_per_mm, PointPx eye,
                             FollowOptions options, std::vector<EyePose> poses)
    : options_(options),
      view_(std::move(seconds), px_per_mm, eye, std::move(poses)),
      looks_(view_.px_per_mm(), options.looks),
      candidates_(view_.size()),
      looked_(view_.size(), 0) {}

void TrailFollower::SetByHand(std::size_t index, const cv::Mat& picture, PointPx tip,
                              std::optional<Angle> shaft) {
  if (index >= size() || picture.empty() || !std::isfinite(tip.x) || !std::isfinite(tip.y)) return;
  Hand& hand = hand_[index];
  hand.set = view_.FromPicture(tip), hand.shaft = shaft;
  hand.small = view_.Small(picture).clone();
  hand.view.release();
  // Everything up to the neighbours set by hand is to be looked at with new eyes.
  const auto here = hand_.find(index);
  const std::size_t from = here == hand_.begin() ? 0 : std::prev(here)->first;
  const std::size_t to = std::next(here) == hand_.end() ? size() : std::next(here)->first;
  for (std::size_t i = from; i < to; ++i) looked_[i] = 0;
}

void TrailFollower::Learn() {
  if (hand_.empty()) return;
  view_.FinishGround();
  FindShafts();
  for (auto& [index, hand] : hand_)
    if (!hand.look) LearnLook(index, hand);
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
    hand.glimpse = GlimpseOf(hand.view, hand.pose, MmAt(index));
  }
  pivot_ = Pivot();
  FindHands();
  filters_.clear();
  for (const std::size_t i : FramesToLookAt())
    if (const std::size_t stretch = StretchOf(i); !filters_.contains(stretch))
      filters_[stretch] = looks_.FilterFor(LooksFor(i));
}

// Each point set by hand is looked for without it, in both ways; by look only if that finds clearly more.
void TrailFollower::FindHands() {
  by_ground_ = true;
  if (hand_.size() < 2) return;
  int found_by_ground = 0, found_by_look = 0, all = 0;
  std::map<std::size_t, std::vector<TipCandidate>> by_look;
  const auto found = [&](const Hand& hand, const std::vector<TipCandidate>& candidates) {
    return std::any_of(candidates.begin(), candidates.end(), [&](const TipCandidate& c) {
      return Distance(c.pose.tip, hand.in_eye.tip) < kFoundMm * view_.px_per_mm();
    });
  };
  for (auto& [index, hand] : hand_) {
    const TipFilter filter = looks_.FilterFor(LooksFor(index), hand.look);
    by_ground_ = true;
    hand.found = Candidates(index, hand.view, filter);
    by_ground_ = false;
    by_look[index] = Candidates(index, hand.view, filter);
    if (NearWound(hand)) continue;
    ++all, found_by_ground += found(hand, hand.found), found_by_look += found(hand, by_look[index]);
  }
  by_ground_ = 2 * found_by_ground >= all || found_by_look < found_by_ground + kClearlyMore;
  if (by_ground_) return;
  for (auto& [index, hand] : hand_) hand.found = by_look[index];
}

// Where the wound is tells the directions that were not found right.
void TrailFollower::FindShafts() {
  for (auto& [index, hand] : hand_) {
    if (!hand.view.empty()) continue;
    hand.view = view_.AgainstGroundOf(index, hand.small);
    hand.pose = {hand.set, hand.shaft ? *hand.shaft : FindShaft(hand.view, hand.set, MmAt(index)).shaft};
    hand.in_eye = view_.InEye(index, hand.pose);
  }
  const std::optional<PointPx> pivot = Pivot();
  for (auto& [index, hand] : hand_) {
    const double off = pivot ? DegreesOffPivot(hand.in_eye, *pivot, Limbus()) : 0;
    if (hand.shaft || hand.look || off < kMostOffPivot) continue;
    const OffsetPx to = *pivot - hand.in_eye.tip;
    const Angle expected =
        view_.InView(index, {hand.in_eye.tip, Angle::Radians(std::atan2(to.y, to.x))}).shaft;
    hand.pose.shaft =
        FindShaftNear(hand.view, hand.set, MmAt(index), expected, Angle::Degrees(kMostOffPivot / 2)).shaft;
    hand.in_eye = view_.InEye(index, hand.pose);
  }
}

void TrailFollower::LearnLook(std::size_t index, Hand& hand) {
  const TipRegion whole = InView(
      index,
      {view_.eye(), options_.most_reach_mm * view_.px_per_mm(), view_.InEye(index, hand.pose).shaft, {}});
  hand.look = looks_.Learn(hand.view, hand.pose, whole, view_.ZoomAt(index), hand.look);
}

TipPose TrailFollower::Agreed(std::size_t index, const Hand& hand) const {
  MeanPose mean(hand.pose);
  mean.Add({hand.set, hand.pose.shaft}, 1);
  for (const Hand* other : HandsNear(index, kAgreeing)) {
    const auto fit = looks_.Fitted(*other->look, hand.view, hand.pose, view_.ZoomAt(index), kMostAgreedMm);
    if (fit.likeness >= kAgreeFit) mean.Add(fit.pose, 1);
  }
  return mean.Mean();
}

std::vector<const TrailFollower::Hand*> TrailFollower::HandsNear(std::size_t index, std::size_t most) const {
  std::vector<std::pair<double, const Hand*>> all;
  for (const auto& [at, hand] : hand_)
    if (at != index) all.emplace_back(std::abs(view_.SecondsAt(at) - view_.SecondsAt(index)), &hand);
  std::sort(all.begin(), all.end());
  std::vector<const Hand*> out;
  for (const auto& [seconds, hand] : all)
    if (out.size() < most) out.push_back(hand);
  return out;
}

std::vector<std::size_t> TrailFollower::FramesToLookAt() const {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < size(); ++i)
    if (!looked_[i] && !hand_.count(i)) out.push_back(i);
  return out;
}

TipRegion TrailFollower::RegionOf(std::size_t index) const {
  const auto [before, after] = HandsAround(index);
  const std::size_t at_a = before.value_or(*after), at_b = after.value_or(at_a);
  const Hand &a = hand_.at(at_a), &b = hand_.at(at_b);
  const double to_a = std::abs(view_.SecondsAt(index) - view_.SecondsAt(at_a)),
               to_b = std::abs(view_.SecondsAt(at_b) - view_.SecondsAt(index));
  TipRegion region;
  const double reach = options_.reach_mm + options_.reach_mm_s * std::min(to_a, to_b);
  region.radius_px = std::min(reach, options_.most_reach_mm) * view_.px_per_mm();
  region.center = reach < options_.most_reach_mm ? (to_a <= to_b ? a : b).in_eye.tip : view_.eye();
  region.shaft = Between(a.in_eye.shaft, b.in_eye.shaft, to_a + to_b > 0 ? to_a / (to_a + to_b) : 0);
  region.span = Angle::Degrees(std::min(options_.turn_deg, 8 + 60 * std::min(to_a, to_b)));
  return region;
}

std::vector<std::size_t> TrailFollower::LooksFor(std::size_t index) const {
  std::vector<std::size_t> by;
  const auto [before, after] = HandsAround(index);
  for (const auto& hand : {before, after})
    if (hand) by.push_back(*hand_.at(*hand).look);
  return by;
}

std::size_t TrailFollower::StretchOf(std::size_t index) const {
  const auto after = hand_.lower_bound(index);
  return after == hand_.end() ? size() : after->first;
}

double TrailFollower::SecondsToHand(std::size_t index) const {
  double least = 1e9;
  const auto [before, after] = HandsAround(index);
  for (const auto& hand : {before, after})
    if (hand) least = std::min(least, std::abs(view_.SecondsAt(*hand) - view_.SecondsAt(index)));
  return least;
}

PivotEye TrailFollower::Limbus() const { return {view_.eye(), kMeanLimbusMm / 2 * view_.px_per_mm()}; }

bool TrailFollower::WithinLimbus(PointPx in_eye) const {
  return Distance(in_eye, view_.eye()) < Limbus().radius_px;
}

bool TrailFollower::NearWound(const Hand& hand) const {
  return pivot_ && Distance(hand.in_eye.tip, *pivot_) < kNearWoundMm * view_.px_per_mm();
}

std::optional<PointPx> TrailFollower::Pivot() const {
  std::vector<TipPose> poses;
  for (const auto& [at, hand] : hand_) poses.push_back(hand.in_eye);
  return ShaftPivot(poses, Limbus());
}

void TrailFollower::Look(std::size_t index, const cv::Mat& picture) {
  const auto filter = index < size() ? filters_.find(StretchOf(index)) : filters_.end();
  if (filter == filters_.end()) return;
  looked_[index] = 1;
  candidates_[index].clear();
  if (picture.empty()) return;
  candidates_[index] = Candidates(index, view_.AgainstGroundOf(index, view_.Small(picture)), filter->second);
}

std::vector<TipCandidate> TrailFollower::Candidates(std::size_t index, const cv::Mat& view,
                                                    const TipFilter& filter) const {
  const TipRegion region = InView(index, RegionOf(index));
  const bool by_ground = by_ground_ && pivot_ && view_.HasGround(index);
  const cv::Mat differing = SharpDifference(view, MmAt(index));
  std::vector<TipCandidate> out;
  if (by_ground) {
    const PointPx pivot = view_.InView(index, TipPose{*pivot_, {}}).tip;
    for (const FoundEnd& end : ShaftEnds(differing, {pivot, region.center, region.radius_px}, MmAt(index),
                                         2 * options_.looks.candidates))
      if (out.size() < options_.looks.candidates && WithinLimbus(view_.InEye(index, end.pose).tip))
        out.push_back({end.pose, {true, end.clear}});
  } else {
    out = looks_.Look(view, region, filter, view_.ZoomAt(index));
  }
  for (TipCandidate& c : out) {
    MakeExact(index, view, c);
    const ShaftEnd end = ShaftEndAt(differing, c.pose, MmAt(index));
    c.glimpse = GlimpseOf(view, c.pose, MmAt(index));
    c.pose = view_.InEye(index, c.pose);
    c.evidence.behind = end.behind, c.evidence.beyond = end.beyond, c.evidence.aside = end.aside;
    c.evidence.off_pivot = pivot_ ? DegreesOffPivot(c.pose, *pivot_, Limbus()) : 0;
    c.evidence.seconds = SecondsToHand(index);
    c.odds = OddsOf(c.evidence);
  }
  return out;
}

void TrailFollower::MakeExact(std::size_t index, const cv::Mat& view, TipCandidate& candidate) const {
  MeanPose mean(candidate.pose);
  std::vector<std::size_t> near;
  for (const Hand* hand : HandsNear(index, kNear)) near.push_back(*hand->look);
  for (const std::size_t look : looks_.MostAlike(near, view, candidate.pose, view_.ZoomAt(index), kLaid)) {
    const auto fit = looks_.Fitted(look, view, candidate.pose, view_.ZoomAt(index));
    candidate.evidence.fit = std::max(candidate.evidence.fit, fit.likeness);
    if (fit.likeness >= kLeastFit) mean.Add(fit.pose, std::exp(kFitSharp * (fit.likeness - 1)));
  }
  candidate.pose = mean.Mean();
}

TipRegion TrailFollower::InView(std::size_t index, TipRegion region) const {
  const TipPose pose = view_.InView(index, TipPose{region.center, region.shaft});
  region.center = pose.tip, region.shaft = pose.shaft;
  region.radius_px *= view_.ZoomAt(index);
  return region;
}

std::optional<std::vector<TipCandidate>> TrailFollower::Seen(std::size_t index) const {
  if (index >= size() || !looked_[index]) return std::nullopt;
  return candidates_[index];
}

std::optional<PointPx> TrailFollower::LikelyTip(std::size_t index) const {
  if (index >= size() || candidates_[index].empty()) return std::nullopt;
  const auto likeliest =
      std::max_element(candidates_[index].begin(), candidates_[index].end(),
                       [](const TipCandidate& a, const TipCandidate& b) { return a.odds < b.odds; });
  return view_.ToPicture(view_.InView(index, likeliest->pose).tip);
}

void TrailFollower::PutBack(std::size_t index, std::vector<TipCandidate> candidates) {
  if (index >= size() || hand_.empty()) return;
  candidates_[index] = std::move(candidates);
  looked_[index] = 1;
}

std::pair<std::optional<std::size_t>, std::optional<std::size_t>> TrailFollower::HandsAround(
    std::size_t index) const {
  const auto here = hand_.lower_bound(index), after = hand_.upper_bound(index);
  std::pair<std::optional<std::size_t>, std::optional<std::size_t>> out;
  if (here != hand_.begin()) out.first = std::prev(here)->first;
  if (after != hand_.end()) out.second = after->first;
  return out;
}

RouteFrame TrailFollower::FrameOf(std::size_t index, bool as_set) const {
  RouteFrame frame;
  frame.seconds = view_.SecondsAt(index);
  const auto hand = hand_.find(index);
  if (hand == hand_.end())
    frame.candidates = candidates_[index];
  else if (as_set)
    frame.set_by_hand = TipCandidate{hand->second.in_eye, {}, options_.route.most_odds, hand->second.glimpse};
  else
    frame.candidates = hand->second.found;
  return frame;
}

std::map<std::size_t, bool> TrailFollower::TestHands() const {
  std::map<std::size_t, bool> out;
  if (hand_.size() < 2) return out;
  for (const auto& [index, hand] : hand_) {
    if (NearWound(hand)) continue;
    const auto [before, after] = HandsAround(index);
    std::vector<RouteFrame> frames;
    const std::size_t first = before.value_or(index), last = after.value_or(index);
    for (std::size_t i = first; i <= last; ++i) frames.push_back(FrameOf(i, i != index));
    const RoutePoint there = BestRoute(frames, view_.px_per_mm(), options_.route)[index - first];
    out[index] = there.at && Distance(there.at->pose.tip, hand.in_eye.tip) < kFoundMm * view_.px_per_mm();
  }
  return out;
}

double TrailFollower::Proven(const std::map<std::size_t, bool>& tests, std::size_t index) const {
  double found = 0.5, all = 1;
  for (const auto& [at, was_found] : tests) {
    const double weight = 1 / (1 + std::abs(view_.SecondsAt(at) - view_.SecondsAt(index)) / kTestSeconds);
    all += weight, found += was_found ? weight : 0;
  }
  return found / all;
}

std::vector<FollowedPoint> TrailFollower::Solve() const {
  std::vector<RouteFrame> frames;
  for (std::size_t i = 0; i < size(); ++i) frames.push_back(FrameOf(i, true));
  const std::map<std::size_t, bool> tests = TestHands();
  const std::vector<RoutePoint> route = BestRoute(frames, view_.px_per_mm(), options_.route);
  std::vector<FollowedPoint> out(size());
  std::vector<std::optional<SmoothedPlace>> places(size());
  for (std::size_t i = 0; i < size(); ++i) {
    FollowedPoint& p = out[i];
    p.by_hand = hand_.contains(i);
    p.margin = route[i].margin;
    if (route[i].at) {
      p.pose = route[i].at->pose, p.odds = route[i].at->odds, p.evidence = route[i].at->evidence;
      places[i] = SmoothedPlace{view_.SecondsAt(i), p.pose->tip, p.by_hand};
    }
    p.proven = Proven(tests, i);
  }
  const std::vector<std::optional<SmoothedPlace>> raw = places;
  places = SmoothTrail(places, options_.noise_mm * view_.px_per_mm());
  for (std::size_t i = 0; i < size(); ++i) {
    FollowedPoint& p = out[i];
    if (p.pose) p.unsteady_mm = Distance(raw[i]->at, places[i]->at) / view_.px_per_mm();
    p.confidence = p.by_hand ? 1 : p.pose ? Confidence(p) : 1 / (1 + std::exp(4 - p.margin));
    if (!p.pose) continue;
    p.pose = view_.InView(i, {places[i]->at, p.pose->shaft});
    if (p.by_hand) p.pose->tip = hand_.at(i).set;
    p.pose->tip = view_.ToPicture(p.pose->tip);
  }
  return out;
}

}  // namespace afterscope

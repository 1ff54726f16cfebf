// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/trail_follower.hpp"

#include "metrics/follow/mean_pose.hpp"
#include "metrics/follow/shaft_ends.hpp"
#include "metrics/follow/smooth_trail.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kLeastFit = 0.6;     // below it a look laid over the picture tells nothing of the place
constexpr double kLookFitSharp = 12;  // how much more a better fit counts, a unit of likeness
constexpr std::size_t
    kNear = 12,
    kLaid = 2;  // looks laid over a place in each sight: of those nearest in time the most alike
constexpr double kLineEnd = 0.2;  // what the line's end counts beside looks that fit without fault (1 each)
// Forceps whose blades are not as far apart as where the hand set the tip. Before they were looked for, one
// place in four on open ones was wrong, most often on one blade, and one in thirteen on closed ones (12
// phantoms, three points each).
constexpr std::size_t kOpenLooks = 6;  // nearest in time, opened and closed
// How far across from the place that was found the line between the blades may lie: it, or one blade was
// found.
constexpr std::array kBladeOffMm{0.0, -0.25, 0.25, -0.34, 0.34, -0.43, 0.43};  // zero first
constexpr double kSameOffMm = 0.07;
constexpr double kBladeMm = 0.12;  // from the line between two closed blades to the middle of one
constexpr double kMaybeOpen = 0.4, kOpenFit = 0.55;  // likeness before and after it was laid exactly ...
constexpr double kClearlyOpen = 0.1;                 // ... and more than as the hand saw it, by that
constexpr double kNearWoundMm = 1;                   // there no shaft's end is looked for
constexpr double kByLook = 3;   // a place found by its look alone is believed less (logarithm of odds)
constexpr double kSeconds = 2;  // to a point set by hand: what is farther was not learnt from
constexpr double kMeanLimbusMm = 11.3;  // of its two diameters: design, "Scale" and "Tilt"

Angle Between(Angle a, Angle b, double share) {
  return a + Angle::Radians(share * std::remainder((b - a).radians(), 2 * std::numbers::pi));
}

// That the tip is within 0.3 mm of the place: weights between those of three logistic regressions on followed
// phantoms. On 8,300 frames of seeds 300 to 311, in three states of correction, 84 % are believed, 0.8 % of
// those wrongly (one plain regression with the clips left out one by one: 80 and 0.6 %). Places found by look
// are too few among them: kByLook is a guess on the safe side.
double Confidence(const FollowedPoint& p) {
  const double x = 2.6 + 0.03 * std::min(p.margin, 15.0) + 0.75 * std::clamp(p.odds, -6.0, 6.0) -
                   1.2 * std::log1p(std::min(p.evidence.seconds, kSeconds)) -
                   10 * std::min(p.unsteady_mm, 0.3) - (p.evidence.by_ground ? 0 : kByLook);
  return 1 / (1 + std::exp(-x));
}

}  // namespace

TrailFollower::TrailFollower(std::vector<double> seconds, double px_per_mm, PointPx eye,
                             const FollowOptions& options, std::vector<EyePose> poses)
    : options_(options),
      view_(std::move(seconds), px_per_mm, eye, std::move(poses)),
      looks_(view_.px_per_mm(), options.looks),
      candidates_(view_.size()),
      stills_(view_.size()),
      looked_(view_.size(), 0),
      walked_(view_.size(), 0) {}

std::vector<const TrailFollower::Hand*> TrailFollower::HandsNear(std::size_t index, std::size_t most) const {
  std::vector<std::pair<double, const Hand*>> all;
  for (const auto& [at, hand] : hand_)
    if (at != index && hand.ends.front())
      all.emplace_back(std::abs(view_.SecondsAt(at) - view_.SecondsAt(index)), &hand);
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
  const cv::Mat small = view_.Small(picture);
  stills_[index] = view_.StillOf(index, small);
  candidates_[index] = Candidates(index, small, stills_[index], filter->second);
}

std::vector<TipCandidate> TrailFollower::Candidates(std::size_t index, const cv::Mat& small,
                                                    const cv::Mat& still, const TipFilter& filter) const {
  const cv::Mat view = view_.AgainstGroundOf(index, small);
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
  const OfEachSight<cv::Mat> freed = FreedStill(still);
  for (TipCandidate& c : out) {
    c.pose = view_.InEye(index, c.pose);
    const double half_mm = MakeExact(index, freed, c);
    const TipPose in_view = view_.InView(index, c.pose);
    const ShaftEnd end = ShaftEndAt(differing, in_view, MmAt(index), half_mm);
    c.glimpse = GlimpseOf(small, in_view, MmAt(index));
    c.evidence.behind = end.behind, c.evidence.beyond = end.beyond;
    c.evidence.off_pivot = pivot_ ? DegreesOffPivot(c.pose, *pivot_, Limbus()) : 0;
    c.evidence.seconds = SecondsToHand(index);
    c.odds = OddsOf(c.evidence);
  }
  return out;
}

OfEachSight<cv::Mat> TrailFollower::FreedStill(const cv::Mat& still) const {
  OfEachSight<cv::Mat> out;
  for (std::size_t s = 0; s < kTipSights.size(); ++s)
    out[s] = FreedOfLight(still, kTipSights[s], view_.StillPxPerMm());
  return out;
}

double TrailFollower::MakeExact(std::size_t index, const OfEachSight<cv::Mat>& freed,
                                TipCandidate& candidate) const {
  const double scale = view_.StillPxPerMm();
  const TipPose start = view_.ToStill(candidate.pose);
  const std::vector<const Hand*> near = HandsNear(index, kNear);
  if (near.empty()) return 0;
  MeanPose mean(start);
  for (std::size_t s = 0; s < kTipSights.size(); ++s) {
    const cv::Mat sample = near.front()->ends[s]->SampleAt(freed[s], start, scale);
    std::vector<std::pair<double, const TipTemplate*>> alike;
    alike.reserve(near.size());
    for (const Hand* hand : near) alike.emplace_back(hand->ends[s]->LikenessTo(sample), &*hand->ends[s]);
    const auto laid = alike.begin() + static_cast<std::ptrdiff_t>(std::min(kLaid, alike.size()));
    std::partial_sort(alike.begin(), laid, alike.end(),
                      [](const auto& a, const auto& b) { return a.first > b.first; });
    for (auto look = alike.begin(); look != laid; ++look) {
      const auto fit = look->second->Fitted(freed[s], start, scale);
      candidate.evidence.fit = std::max(candidate.evidence.fit, fit.likeness);
      if (fit.likeness >= kLeastFit) mean.Add(fit.pose, std::exp(kLookFitSharp * (fit.likeness - 1)));
    }
  }
  if (const auto end = line_ends_.Moved(freed.front(), mean.Mean(), scale)) mean.Add(*end, kLineEnd);
  TipPose pose = mean.Mean();
  const auto open = OpenEndNear(near, freed.back(), pose);
  if (open) pose = open->pose, candidate.evidence.fit = std::max(candidate.evidence.fit, open->likeness);
  candidate.pose = view_.FromStill(pose);
  candidate.evidence.goes_on = GoesOn(freed.front(), pose, scale);
  return open ? open->half_mm : 0;
}

std::optional<TrailFollower::OpenEnd> TrailFollower::OpenEndNear(const std::vector<const Hand*>& looks,
                                                                 const cv::Mat& freed,
                                                                 const TipPose& found) const {
  const double scale = view_.StillPxPerMm();
  const OffsetPx across{-std::sin(found.shaft.radians()), std::cos(found.shaft.radians())};
  double least = kMaybeOpen, most = 0;
  const TipTemplate* best = nullptr;
  OpenEnd out;
  const std::size_t most_looks = std::min(kOpenLooks, looks.size());
  for (const double off_mm : kBladeOffMm) {
    const TipPose at{found.tip + off_mm * scale * across, found.shaft};
    const cv::Mat sample = looks.front()->ends.back()->SampleAt(freed, at, scale);
    const auto take = [&](const TipTemplate& look, double half_mm) {
      if (off_mm != 0 && std::abs(std::abs(off_mm) - half_mm) > kSameOffMm) return;
      const double likeness = look.LikenessTo(sample);
      if (likeness > most) most = likeness, best = &look, out = {at, likeness, half_mm};
    };
    for (std::size_t k = 0; k < most_looks; ++k) {
      const Hand* look = looks[k];
      if (off_mm == 0) least = std::max(least, look->ends.back()->LikenessTo(sample) + kClearlyOpen);
      for (std::size_t i = 0; i < look->opened.size(); ++i)
        take(look->opened[i], std::max(0.0, kOpenings[i] + kBladeMm));
    }
  }
  if (!best || most < least) return std::nullopt;
  const auto fit = best->Fitted(freed, out.pose, scale);
  if (fit.likeness < std::max(kOpenFit, least)) return std::nullopt;
  out.pose = fit.pose, out.likeness = fit.likeness;
  return out;
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
  walked_[index] =
      std::any_of(candidates_[index].begin(), candidates_[index].end(),
                  [](const TipCandidate& x) { return x.evidence.forth > 0 || x.evidence.back > 0; });
}

std::pair<std::optional<std::size_t>, std::optional<std::size_t>> TrailFollower::HandsAround(
    std::size_t index) const {
  const auto here = hand_.lower_bound(index), after = hand_.upper_bound(index);
  std::pair<std::optional<std::size_t>, std::optional<std::size_t>> out;
  if (here != hand_.begin()) out.first = std::prev(here)->first;
  if (after != hand_.end()) out.second = after->first;
  return out;
}

RouteFrame TrailFollower::FrameOf(std::size_t index) const {
  RouteFrame frame;
  frame.seconds = view_.SecondsAt(index);
  const auto hand = hand_.find(index);
  if (hand == hand_.end())
    frame.candidates = candidates_[index];
  else
    frame.set_by_hand = TipCandidate{hand->second.in_eye, {}, options_.route.most_odds, hand->second.glimpse};
  return frame;
}

std::vector<FollowedPoint> TrailFollower::Solve() {
  Walk();
  std::vector<RouteFrame> frames;
  for (std::size_t i = 0; i < size(); ++i) frames.push_back(FrameOf(i));
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

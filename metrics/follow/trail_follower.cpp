// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/trail_follower.hpp"

#include "metrics/follow/find_shaft.hpp"
#include "metrics/follow/smooth_trail.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kLeastFit = 0.6;  // below it a look laid over the picture tells nothing of the place
// What a look that can't be laid over a place takes from its likeness, and one that can adds: chosen on one
// followed forceps, whose tip had slid along its shaft for a third of a second at a time.
constexpr double kMisfit = 1.5, kFitting = 0.05;
constexpr double kLeastPxPerMm = 2;  // with fewer there is nothing to follow

Angle Between(Angle a, Angle b, double share) {
  return a + Angle::Radians(share * std::remainder((b - a).radians(), 2 * std::numbers::pi));
}

// That the tip is within 0.3 mm of the place: logistic regression on followed phantoms (13,000 frames of
// seeds 300 to 305, in all states of correction).
double Confidence(const FollowedPoint& p, double seconds_to_hand) {
  const double x = -1.06 + 0.164 * std::min(p.margin, 15.0) + 4.4 * std::min(p.likeness, 1.0) -
                   0.98 * std::log1p(seconds_to_hand);
  return 1 / (1 + std::exp(-x));
}

}  // namespace

TrailFollower::TrailFollower(std::vector<double> seconds, double px_per_mm, PointPx eye,
                             FollowOptions options, std::vector<EyePose> poses)
    : seconds_(std::move(seconds)),
      px_per_mm_(std::max(kLeastPxPerMm, px_per_mm)),
      eye_(eye),
      options_(options),
      poses_(poses.size() == seconds_.size() ? std::move(poses) : std::vector<EyePose>()),
      looks_(px_per_mm_, options.looks),
      candidates_(seconds_.size()),
      looked_(seconds_.size(), 0) {}

void TrailFollower::SetByHand(std::size_t index, const cv::Mat& picture, PointPx tip,
                              std::optional<Angle> shaft) {
  if (index >= size() || picture.empty() || !std::isfinite(tip.x) || !std::isfinite(tip.y)) return;
  Angle direction;
  if (shaft)
    direction = *shaft;
  else if (hand_.empty())
    direction = FindShaft(picture, tip, px_per_mm_).shaft;
  else {
    const Angle expected = InPicture(index, RegionOf(index)).shaft;
    direction = FindShaftNear(picture, tip, px_per_mm_, expected, Angle::Degrees(25)).shaft;
  }
  const TipPose pose{tip, direction};
  const TipPose in_eye = InEye(index, pose);
  const TipRegion whole = InPicture(index, {eye_, options_.most_reach_mm * px_per_mm_, in_eye.shaft, {}});
  looks_.Learn(picture, pose, whole, ZoomOf(index));
  hand_[index] = {in_eye, looks_.learnt() - 1};
  // Everything up to the neighbours set by hand is to be looked at with new eyes.
  const auto here = hand_.find(index);
  const std::size_t from = here == hand_.begin() ? 0 : std::prev(here)->first;
  const std::size_t to = std::next(here) == hand_.end() ? size() : std::next(here)->first;
  for (std::size_t i = from; i < to; ++i) looked_[i] = 0;
  if (index > 0) filters_[index] = looks_.FilterFor(LooksFor(index - 1));
  if (index + 1 < size()) filters_[to] = looks_.FilterFor(LooksFor(index + 1));
}

std::vector<std::size_t> TrailFollower::FramesToLookAt() const {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < size(); ++i)
    if (!looked_[i] && !hand_.count(i)) out.push_back(i);
  return out;
}

TipRegion TrailFollower::RegionOf(std::size_t index) const {
  const auto after = hand_.lower_bound(index);
  const auto& b = after == hand_.end() ? *std::prev(after) : *after;
  const auto& a = after == hand_.begin() ? b : *std::prev(after);
  const double to_a = std::abs(seconds_[index] - seconds_[a.first]),
               to_b = std::abs(seconds_[b.first] - seconds_[index]);
  const Hand& near = to_a <= to_b ? a.second : b.second;
  TipRegion region;
  const double reach = options_.reach_mm + options_.reach_mm_s * std::min(to_a, to_b);
  region.radius_px = std::min(reach, options_.most_reach_mm) * px_per_mm_;
  region.center = reach < options_.most_reach_mm ? near.pose.tip : eye_;
  region.shaft =
      Between(a.second.pose.shaft, b.second.pose.shaft, to_a + to_b > 0 ? to_a / (to_a + to_b) : 0);
  region.span = Angle::Degrees(std::min(options_.turn_deg, 8 + 60 * std::min(to_a, to_b)));
  return region;
}

std::vector<std::size_t> TrailFollower::LooksFor(std::size_t index) const {
  const auto after = hand_.lower_bound(index);
  std::vector<std::size_t> by;
  if (after != hand_.end()) by.push_back(after->second.look);
  if (after != hand_.begin()) by.push_back(std::prev(after)->second.look);
  return by;
}

std::size_t TrailFollower::StretchOf(std::size_t index) const {
  const auto after = hand_.lower_bound(index);
  return after == hand_.end() ? size() : after->first;
}

double TrailFollower::SecondsToHand(std::size_t index) const {
  double least = 1e9;
  for (const auto& [at, hand] : hand_) least = std::min(least, std::abs(seconds_[at] - seconds_[index]));
  return least;
}

void TrailFollower::Look(std::size_t index, const cv::Mat& picture) {
  if (hand_.empty() || index >= size()) return;
  looked_[index] = 1;
  candidates_[index].clear();
  if (picture.empty()) return;
  candidates_[index] =
      looks_.Look(picture, InPicture(index, RegionOf(index)), filters_.at(StretchOf(index)), ZoomOf(index));
  for (TipCandidate& c : candidates_[index]) {
    MakeExact(index, picture, c);
    c.pose = InEye(index, c.pose);
  }
}

void TrailFollower::MakeExact(std::size_t index, const cv::Mat& picture, TipCandidate& candidate) const {
  const auto [before, after] = HandsAround(index);
  OffsetPx shift;
  double turn = 0, sum = 0;
  for (const auto& hand : {before, after}) {
    if (!hand) continue;
    const auto fit = looks_.Fitted(hand_.at(*hand).look, picture, candidate.pose, ZoomOf(index));
    candidate.fit = std::max(candidate.fit, fit.likeness);
    if (fit.likeness < kLeastFit) continue;
    const double weight = 1 / (0.05 + std::abs(seconds_[*hand] - seconds_[index]));
    shift = shift + weight * (fit.pose.tip - candidate.pose.tip);
    turn += weight * std::remainder((fit.pose.shaft - candidate.pose.shaft).radians(), 2 * std::numbers::pi);
    sum += weight;
  }
  candidate.score += kFitting - kMisfit * (1 - candidate.fit);
  if (sum <= 0) return;
  candidate.pose.tip = candidate.pose.tip + shift / sum;
  candidate.pose.shaft = candidate.pose.shaft + Angle::Radians(turn / sum);
}

TipPose TrailFollower::InEye(std::size_t index, TipPose p) const {
  if (poses_.empty()) return p;
  return {ReferenceFromPicture(poses_[index], eye_, p.tip), p.shaft - poses_[index].turn};
}

TipPose TrailFollower::InPicture(std::size_t index, TipPose p) const {
  if (poses_.empty()) return p;
  return {PictureFromReference(poses_[index], eye_, p.tip), p.shaft + poses_[index].turn};
}

TipRegion TrailFollower::InPicture(std::size_t index, TipRegion region) const {
  const TipPose pose = InPicture(index, TipPose{region.center, region.shaft});
  region.center = pose.tip, region.shaft = pose.shaft;
  region.radius_px *= ZoomOf(index);
  return region;
}

std::optional<std::vector<TipCandidate>> TrailFollower::Seen(std::size_t index) const {
  if (index >= size() || !looked_[index]) return std::nullopt;
  return candidates_[index];
}

void TrailFollower::PutBack(std::size_t index, std::vector<TipCandidate> candidates) {
  if (index >= size() || hand_.empty()) return;
  candidates_[index] = std::move(candidates);
  looked_[index] = 1;
}

std::pair<std::optional<std::size_t>, std::optional<std::size_t>> TrailFollower::HandsAround(
    std::size_t index) const {
  const auto after = hand_.lower_bound(index);
  std::pair<std::optional<std::size_t>, std::optional<std::size_t>> out;
  if (after != hand_.begin()) out.first = std::prev(after)->first;
  if (after != hand_.end()) out.second = after->first;
  return out;
}

std::vector<FollowedPoint> TrailFollower::Solve() const {
  std::vector<RouteFrame> frames(size());
  for (std::size_t i = 0; i < size(); ++i) {
    frames[i].seconds = seconds_[i];
    const auto hand = hand_.find(i);
    if (hand != hand_.end())
      frames[i].set_by_hand = hand->second.pose;
    else
      frames[i].candidates = candidates_[i];
  }
  const std::vector<RoutePoint> route = BestRoute(frames, px_per_mm_, options_.route);
  std::vector<FollowedPoint> out(size());
  for (std::size_t i = 0; i < size(); ++i) {
    FollowedPoint& p = out[i];
    p.by_hand = hand_.count(i) > 0;
    p.margin = route[i].margin;
    if (route[i].at) p.pose = route[i].at->pose, p.likeness = route[i].at->score;
    p.confidence = p.by_hand ? 1
                   : p.pose  ? Confidence(p, SecondsToHand(i))
                             : 1 / (1 + std::exp(4 - p.margin));
  }
  std::vector<std::optional<SmoothedPlace>> places(size());
  for (std::size_t i = 0; i < size(); ++i)
    if (out[i].pose) places[i] = SmoothedPlace{seconds_[i], out[i].pose->tip, out[i].by_hand};
  places = SmoothTrail(places, options_.noise_mm * px_per_mm_);
  for (std::size_t i = 0; i < size(); ++i)
    if (out[i].pose) out[i].pose = InPicture(i, {places[i]->at, out[i].pose->shaft});
  return out;
}

}  // namespace afterscope

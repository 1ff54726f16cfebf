// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/eye_track.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kBridged = 0.5;  // seconds between trusted frames
// Diameters of the limbus. Where the eye is lost it often moves fast: of 3 mm in 0.12 s, what is interpolated
// over seven lost frames made the path of a trail of 20 s a fifth too long.
constexpr double kCameBack = 0.005;
constexpr double kZoomWindow = 0.34;  // seconds to either side
constexpr double kEdge = 0.1;         // seconds beyond the first and last trusted frame

// How far apart two poses bring a point of the limbus, at most, in its diameters.
double MovedBetween(const EyePose& a, const EyePose& b, double diameter) {
  const double turn = std::abs(std::remainder((b.turn - a.turn).radians(), 2 * std::numbers::pi));
  return Distance(a.origin, b.origin) / diameter +
         (std::abs(b.zoom - a.zoom) + std::max(a.zoom, b.zoom) * turn) / 2;
}

}  // namespace

EyeTrack::EyeTrack(const FollowedEye& eye, const CaseClock& clock) : eye_(eye) {
  const double diameter = eye.reference_eye.limbus.ellipse.MeanDiameter();
  std::vector<TimedZoom> zooms;
  bool lost = false;  // since the last trusted frame
  for (const EyeAtFrame& f : eye.frames) {
    if (f.pose.trust < kLeastTrust) {
      lost = true;
      continue;
    }
    const TimedPose now{clock.Seconds(f.at), f.pose};
    joined_.push_back(!trusted_.empty() && now.seconds - trusted_.back().seconds <= kBridged &&
                      (!lost || MovedBetween(trusted_.back().pose, now.pose, diameter) <= kCameBack));
    trusted_.push_back(now);
    zooms.push_back({now.seconds, f.pose.zoom});
    lost = false;
  }
  changes_ = FindZoomChanges(zooms);
}

std::optional<EyePose> EyeTrack::At(double seconds) const {
  const auto after = std::lower_bound(trusted_.begin(), trusted_.end(), seconds,
                                      [](const TimedPose& t, double s) { return t.seconds < s; });
  if (after == trusted_.end() || after == trusted_.begin()) {
    if (trusted_.empty()) return std::nullopt;
    const TimedPose& nearest = after == trusted_.end() ? trusted_.back() : trusted_.front();
    if (std::abs(nearest.seconds - seconds) > kEdge) return std::nullopt;
    return nearest.pose;
  }
  if (after->seconds != seconds && !joined_[static_cast<std::size_t>(after - trusted_.begin())])
    return std::nullopt;
  return PoseAt(trusted_, seconds);
}

std::optional<double> EyeTrack::ZoomAt(double seconds) const {
  std::vector<double> zooms;
  for (auto t = std::lower_bound(trusted_.begin(), trusted_.end(), seconds - kZoomWindow,
                                 [](const TimedPose&a, double s) { return a.seconds < s; });
       t != trusted_.end() && t->seconds <= seconds + kZoomWindow; ++t)
    zooms.push_back(t->pose.zoom);
  if (zooms.empty()) return std::nullopt;
  const auto middle = zooms.begin() + static_cast<std::ptrdiff_t>(zooms.size() / 2);
  std::nth_element(zooms.begin(), middle, zooms.end());
  return *middle;
}

std::optional<PointSq> EyeTrack::InEye(PointSq p, double seconds) const {
  const auto pose = At(seconds);
  if (!pose) return std::nullopt;
  const PointPx in_eye =
      ReferenceFromPicture(*pose, eye_.reference_eye.limbus.ellipse.center, PointPx{p.x, p.y});
  return PointSq{in_eye.x, in_eye.y};
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/eye_track.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kBridged = 0.5;      // seconds between trusted frames
constexpr double kZoomWindow = 0.34;  // seconds to either side
constexpr double kEdge = 0.1;         // seconds beyond the first and last trusted frame

}  // namespace

EyeTrack::EyeTrack(const FollowedEye& eye, const CaseClock& clock) : eye_(eye) {
  std::vector<TimedZoom> zooms;
  for (const EyeAtFrame& f : eye.frames) {
    if (f.pose.trust < kLeastTrust) continue;
    trusted_.push_back({clock.Seconds(f.at), f.pose});
    zooms.push_back({trusted_.back().seconds, f.pose.zoom});
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
  if (after->seconds != seconds && after->seconds - std::prev(after)->seconds > kBridged) return std::nullopt;
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

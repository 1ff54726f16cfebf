// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_walk.hpp"

#include "metrics/follow/tip_evidence.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kWalkBehindMm = 1.7, kWalkBeyondMm = 0.5;  // of the end that is searched for
constexpr double kReachMm = 0.3, kSpeedMmS = 18, kMostReachMm = 1.2;
constexpr double kLeastLikeness = 0.6;  // below it the end is not seen
constexpr double kFitSharp = 12;        // how much more a better fit counts, a unit of likeness
constexpr double kFar = 0.08;  // likeness that a place a usual way off what is expected must make up for
constexpr int kMostLost = 6;   // pictures, after which it begins anew
constexpr std::size_t kRemembered = 6;
constexpr double kFlatFreed = 2;       // of FreedOfLight
constexpr float kFirst = 0.7F;         // share that the look at the start has, beside that of a picture ago
constexpr double kMostGoesOn = 0.6;    // above it the place is one along the shaft
constexpr double kLeastAsFirst = 0.5;  // likeness to it, below which the end is not seen

bool IsFlat(const cv::Mat& patch) {
  cv::Scalar mean, sd;
  cv::meanStdDev(patch, mean, sd);
  return !(sd[0] > kFlatFreed);
}

TipPose Mixed(const TipTemplate::Fit& a, const TipTemplate::Fit& b) {
  const auto weight = [](const TipTemplate::Fit& fit) {
    return fit.likeness < kLeastLikeness ? 0 : std::exp(kFitSharp * (fit.likeness - 1));
  };
  const double all = weight(a) + weight(b), share = all > 0 ? weight(b) / all : 0;
  return {Lerp(a.pose.tip, b.pose.tip, share),
          a.pose.shaft + Angle::Radians(share * std::remainder((b.pose.shaft - a.pose.shaft).radians(),
                                                               2 * std::acos(-1.0)))};
}

}  // namespace

TipWalk::TipWalk(const cv::Mat& picture, const TipPose& start, double px_per_mm, const TipSight& sight)
    : px_per_mm_(px_per_mm),
      sight_(sight),
      first_(Freed(picture), start, px_per_mm, px_per_mm, sight.width),
      latest_(first_),
      first_patch_(PatchOf(Freed(picture), start, 0)),
      latest_patch_(first_patch_),
      pose_(start) {}

// The piece that is searched for, `around` pixels larger on every side.
cv::Mat TipWalk::PatchOf(const cv::Mat& freed, const TipPose& pose, int around) const {
  const auto px = [&](double mm) { return static_cast<int>(std::lround(mm * px_per_mm_)); };
  const cv::Point tip(px(kWalkBeyondMm) + around, px(sight_.width.beside_mm) + around);
  return Turned(freed, pose.tip, pose.shaft, 1, {static_cast<double>(tip.x), static_cast<double>(tip.y)},
                {tip.x + 1 + px(kWalkBehindMm) + around, 2 * tip.y + 1});
}

TipPose TipWalk::Expected(double seconds) const {
  const double far = std::min(seconds, 0.1);  // a motion tells nothing of what comes later
  return {pose_.tip + 0.7 * far * speed_, pose_.shaft};
}

std::optional<TipPose> TipWalk::Searched(const cv::Mat& picture, const TipPose& expected,
                                         double reach_mm) const {
  const int reach = std::max(2, static_cast<int>(std::lround(reach_mm * px_per_mm_)));
  const cv::Mat area = PatchOf(picture, expected, reach);
  if (IsFlat(area) || IsFlat(latest_patch_)) return std::nullopt;
  cv::Mat alike, as_first;
  cv::matchTemplate(area, latest_patch_, alike, cv::TM_CCOEFF_NORMED);
  cv::matchTemplate(area, first_patch_, as_first, cv::TM_CCOEFF_NORMED);
  float best = -2;
  cv::Point at;
  for (int y = 0; y < alike.rows; ++y)
    for (int x = 0; x < alike.cols; ++x) {
      const double far = std::hypot(x - reach, y - reach) / (kReachMm * px_per_mm_);
      const float value = (1 - kFirst) * alike.at<float>(y, x) + kFirst * as_first.at<float>(y, x) -
                          static_cast<float>(kFar * std::min(far, 2.0));
      if (value > best) best = value, at = {x, y};
    }
  const PointPx tip = FromTurned(expected.tip, expected.shaft, 1,
                                 {static_cast<double>(reach), static_cast<double>(reach)}, at);
  return TipPose{tip, expected.shaft};
}

std::optional<TipWalk::Step> TipWalk::Arrive(const cv::Mat& picture, TipPose pose, double likeness) {
  if (since_ > 0) speed_ = 0.5 * speed_ + 0.5 / since_ * (pose.tip - pose_.tip);
  pose_ = pose, since_ = 0, lost_ = 0;
  latest_ = TipTemplate(picture, pose, px_per_mm_, px_per_mm_, sight_.width);
  latest_patch_ = PatchOf(picture, pose, 0);
  likenesses_.push_back(likeness);
  if (likenesses_.size() > kRemembered) likenesses_.erase(likenesses_.begin());
  return Step{pose, *std::min_element(likenesses_.begin(), likenesses_.end()), unbroken_};
}

std::optional<TipWalk::Step> TipWalk::Lose(const cv::Mat& picture, const std::vector<TipPose>& sure) {
  if (++lost_ <= kMostLost && !picture.empty()) return std::nullopt;
  unbroken_ = false;
  if (picture.empty() || sure.empty()) return std::nullopt;
  since_ = 0, speed_ = {};
  likenesses_.clear();
  return Arrive(picture, sure.front(), kLeastLikeness);
}

std::optional<TipWalk::Step> TipWalk::Next(const cv::Mat& still, double seconds,
                                           const std::vector<TipPose>& sure) {
  since_ += seconds;
  if (still.empty()) return Lose(still, sure);
  const cv::Mat picture = Freed(still);
  const TipPose expected = Expected(since_);
  const auto near = Searched(picture, expected, std::min(kMostReachMm, kReachMm + kSpeedMmS * since_));
  if (!near) return Lose(picture, sure);
  const TipTemplate::Fit now = latest_.Fitted(picture, *near, px_per_mm_),
                         then = first_.Fitted(picture, *near, px_per_mm_);
  const double likeness = std::max(now.likeness, then.likeness);
  if (likeness < kLeastLikeness || then.likeness < kLeastAsFirst) return Lose(picture, sure);
  const TipPose pose = Mixed(now, then);
  if (GoesOn(picture, pose, px_per_mm_) > kMostGoesOn) return Lose(picture, sure);
  return Arrive(picture, pose, likeness);
}

}  // namespace afterscope

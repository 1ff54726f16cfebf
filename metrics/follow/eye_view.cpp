// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/eye_view.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kLeastPxPerMm = 2;    // with fewer there is nothing to follow
constexpr double kWantedPxPerMm = 16;  // pictures are not made smaller than that
constexpr int kMostFactor = 8;

int FactorFor(double px_per_mm) {
  return std::clamp(static_cast<int>(px_per_mm / kWantedPxPerMm), 1, kMostFactor);
}

}  // namespace

EyeView::EyeView(std::vector<double> seconds, double px_per_mm, PointPx eye, std::vector<EyePose> poses)
    : seconds_(std::move(seconds)),
      factor_(FactorFor(px_per_mm)),
      px_per_mm_(std::max(kLeastPxPerMm, px_per_mm) / factor_),
      eye_(FromPicture(eye)),
      poses_(poses.size() == seconds_.size() ? std::move(poses) : std::vector<EyePose>()),
      ground_(seconds_) {
  for (EyePose& pose : poses_) pose.origin = FromPicture(pose.origin);
}

cv::Mat EyeView::Small(const cv::Mat& picture) const {
  const cv::Size size(picture.cols / factor_, picture.rows / factor_);
  if (factor_ == 1 || size.empty()) return picture;
  cv::Mat out;
  cv::resize(picture(cv::Rect({0, 0}, size * factor_)), out, size, 0, 0, cv::INTER_AREA);
  return out;
}

cv::Matx23d EyeView::ViewFromEye(std::size_t index) const {
  if (poses_.empty()) return cv::Matx23d::eye();
  const EyePose& pose = poses_[index];
  const double c = pose.zoom * std::cos(pose.turn.radians()), s = pose.zoom * std::sin(pose.turn.radians());
  return {c, -s, pose.origin.x - c * eye_.x + s * eye_.y, s, c, pose.origin.y - s * eye_.x - c * eye_.y};
}

void EyeView::AddGround(std::size_t index, const cv::Mat& picture) {
  if (index >= size() || picture.empty()) return;
  const cv::Mat small = cv::max(Small(picture), 1);  // 0 is for what is not known
  cv::Mat in_eye;
  cv::warpAffine(small, in_eye, ViewFromEye(index), small.size(), cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                 cv::BORDER_CONSTANT);
  ground_.Add(index, in_eye);
}

cv::Mat EyeView::AgainstGroundOf(std::size_t index, const cv::Mat& small) const {
  const cv::Mat ground = ground_.At(index);
  if (ground.size() != small.size()) return small;
  cv::Mat behind;
  cv::warpAffine(ground, behind, ViewFromEye(index), small.size(), cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  return AgainstGround(small, behind);
}

TipPose EyeView::InEye(std::size_t index, const TipPose& in_view) const {
  if (poses_.empty()) return in_view;
  return {ReferenceFromPicture(poses_[index], eye_, in_view.tip), in_view.shaft - poses_[index].turn};
}

TipPose EyeView::InView(std::size_t index, const TipPose& in_eye) const {
  if (poses_.empty()) return in_eye;
  return {PictureFromReference(poses_[index], eye_, in_eye.tip), in_eye.shaft + poses_[index].turn};
}

cv::Mat EyeView::StillOf(std::size_t index, const cv::Mat& small) const {
  const double scale = StillPxPerMm() / px_per_mm_;
  cv::Mat smooth = small;
  double halved = 1;
  if (scale < 0.67) {
    cv::resize(small, smooth, {small.cols / 2, small.rows / 2}, 0, 0, cv::INTER_AREA);
    halved = 2;
  }
  // view = A * eye + b, eye = still / scale + eye's middle - still's middle / scale.
  const cv::Matx23d v = ViewFromEye(index);
  const PointPx middle = StillMiddle();
  const double x = eye_.x - middle.x / scale, y = eye_.y - middle.y / scale;
  cv::Matx23d of(v(0, 0) / scale, v(0, 1) / scale, v(0, 0) * x + v(0, 1) * y + v(0, 2), v(1, 0) / scale,
                 v(1, 1) / scale, v(1, 0) * x + v(1, 1) * y + v(1, 2));
  if (halved > 1)
    of = cv::Matx23d(of(0, 0) / 2, of(0, 1) / 2, (of(0, 2) + 0.5) / 2 - 0.5, of(1, 0) / 2, of(1, 1) / 2,
                     (of(1, 2) + 0.5) / 2 - 0.5);
  const int side = static_cast<int>(2 * kStillMm * StillPxPerMm()) + 1;
  cv::Mat out;
  cv::warpAffine(smooth, out, of, {side, side}, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                 cv::BORDER_REPLICATE);
  return out;
}

TipPose EyeView::ToStill(const TipPose& in_eye) const {
  return {StillMiddle() + StillPxPerMm() / px_per_mm_ * (in_eye.tip - eye_), in_eye.shaft};
}

TipPose EyeView::FromStill(const TipPose& in_still) const {
  return {eye_ + px_per_mm_ / StillPxPerMm() * (in_still.tip - StillMiddle()), in_still.shaft};
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_template.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kTemplateBehindMm = 1.8, kTemplateBeyondMm = 0.5;
constexpr double kLengthMm = 1.2;  // SD of the weights along the shaft behind the tip
constexpr int kTemplateIterations = 8;
constexpr double kMostTurnDeg = 10;
constexpr double kOfNormal = 100;  // a template has the standard deviation 1: in gray levels again
constexpr double kStiff = 0.02;    // of the largest diagonal term, held against each step

}  // namespace

TipTemplate::TipTemplate(const cv::Mat& picture, const TipPose& pose, double px_per_mm, double at,
                         const TipTemplateWidth& width)
    : at_(at) {
  const int beyond = static_cast<int>(std::lround(kTemplateBeyondMm * at)),
            beside = static_cast<int>(std::lround(width.beside_mm * at));
  size_ = {beyond + 1 + static_cast<int>(std::lround(kTemplateBehindMm * at)), 2 * beside + 1};
  tip_ = {static_cast<double>(beyond), static_cast<double>(beside)};
  weights_ = cv::Mat(size_, CV_32F);
  for (int y = 0; y < size_.height; ++y)
    for (int x = 0; x < size_.width; ++x) {
      const double across = (y - tip_.y) / at / width.band_mm,
                   along = std::max(0.0, x - tip_.x) / at / kLengthMm;
      const double past = std::max(0.0, tip_.x - x) / at / 0.25;
      weights_.at<float>(y, x) =
          static_cast<float>(std::exp(-0.5 * (across * across + along * along + past * past)));
    }
  weights_ *= 1 / cv::sum(weights_)[0];
  Take(Sampled(picture, pose, px_per_mm));
}

void TipTemplate::Take(cv::Mat patch) {
  // Another template may hold the same ones.
  for (cv::Mat* own : {&template_, &weighted_, &slopes_[0], &slopes_[1], &slopes_[2]}) own->release();
  if (!Normalize(patch)) return;
  template_ = patch;
  weighted_ = template_.mul(weights_);
  cv::Sobel(template_, slopes_[0], CV_32F, 1, 0, 3, 0.125);
  cv::Sobel(template_, slopes_[1], CV_32F, 0, 1, 3, 0.125);
  slopes_[2] = cv::Mat(size_, CV_32F);
  for (int y = 0; y < size_.height; ++y)
    for (int x = 0; x < size_.width; ++x)
      slopes_[2].at<float>(y, x) = static_cast<float>((x - tip_.x) * slopes_[1].at<float>(y, x) -
                                                      (y - tip_.y) * slopes_[0].at<float>(y, x));
  cv::Matx33d normal;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j) normal(i, j) = weights_.dot(slopes_[i].mul(slopes_[j]));
  for (int i = 0; i < 3; ++i) normal(i, i) += kStiff * std::max(normal(i, i), 1e-4);
  inverse_ = normal.inv(cv::DECOMP_SVD);
}

TipTemplate TipTemplate::Opened(double half_mm) const {
  TipTemplate out = *this;
  if (template_.empty()) return out;
  const int middle = size_.height / 2, half = static_cast<int>(std::lround(half_mm * at_));
  cv::Mat beside = 0.25F * (template_.row(0) + template_.row(1) + template_.row(size_.height - 2) +
                            template_.row(size_.height - 1));
  cv::Mat patch(size_, CV_32F);
  for (int y = 0; y < size_.height; ++y) {
    const int off = y - middle, from = off > 0 ? y - half : y + half;
    const bool between = std::abs(off) <= half || from < 0 || from >= size_.height;
    (between ? beside : template_.row(from)).copyTo(patch.row(y));
  }
  cv::GaussianBlur(patch, patch, {3, 3}, 0.8);
  out.Take(kOfNormal * patch);
  return out;
}

cv::Mat TipTemplate::Sampled(const cv::Mat& picture, const TipPose& pose, double px_per_mm) const {
  cv::Mat patch;
  Turned(picture, pose.tip, pose.shaft, at_ / px_per_mm, tip_, size_).convertTo(patch, CV_32F);
  cv::GaussianBlur(patch, patch, {3, 3}, 0.8);
  return patch;
}

bool TipTemplate::Normalize(cv::Mat& patch) const {
  patch -= weights_.dot(patch);
  const double sd = std::sqrt(weights_.dot(patch.mul(patch)));
  if (!(sd > 1)) return false;  // gray levels
  patch *= 1 / sd;
  return true;
}

cv::Mat TipTemplate::SampleAt(const cv::Mat& picture, const TipPose& pose, double px_per_mm) const {
  cv::Mat sample = Sampled(picture, pose, px_per_mm);
  return Normalize(sample) ? sample : cv::Mat();
}

double TipTemplate::LikenessTo(const cv::Mat& sample) const {
  return sample.empty() || template_.empty() ? 0 : weighted_.dot(sample);
}

TipTemplate::Fit TipTemplate::Fitted(const cv::Mat& picture, const TipPose& start, double px_per_mm,
                                     double most_shift_mm) const {
  if (template_.empty()) return {start, 0};
  Fit best{start, 0};
  TipPose pose = start;
  for (int i = 0; i < kTemplateIterations; ++i) {
    cv::Mat patch = Sampled(picture, pose, px_per_mm);
    if (!Normalize(patch)) return {start, 0};
    const double likeness = weights_.dot(patch.mul(template_));
    if (likeness > best.likeness) best = {pose, likeness};
    const cv::Mat off = (patch - template_).mul(weights_);
    const cv::Vec3d step =
        inverse_ * cv::Vec3d(slopes_[0].dot(off), slopes_[1].dot(off), slopes_[2].dot(off));
    // The picture shows at q what the template has at q + step.
    const cv::Point2d tip(tip_.x - step[0], tip_.y - step[1]);
    pose = {FromTurned(pose.tip, pose.shaft, at_ / px_per_mm, tip_, tip),
            pose.shaft - Angle::Radians(step[2])};
    const double turned = std::remainder((pose.shaft - start.shaft).degrees(), 360.0);
    if (!(Distance(pose.tip, start.tip) < most_shift_mm * px_per_mm) || std::abs(turned) > kMostTurnDeg)
      break;
    if (std::hypot(step[0], step[1]) < 0.02 && std::abs(step[2]) < 0.002) break;
  }
  return best;
}

}  // namespace afterscope

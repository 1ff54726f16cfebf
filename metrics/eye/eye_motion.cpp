// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_motion.hpp"

#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/video/tracking.hpp>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kCore = 1.06;  // limbus radii: what surely moves with the eye
constexpr float kFaint = 6;     // gray levels: contrast below counts for less
constexpr int kWindow = 21, kLevels = 3;
constexpr int kMostSteps = 20;
constexpr double kClose = 0.03;     // working pixels: the last step to a place; places differ by more
constexpr double kAgree = 1.5;      // working pixels
constexpr double kRoundTrip = 0.6;  // working pixels: there and back again
constexpr std::size_t kLeastPoints = 12;
constexpr double kLeastZoom = 0.2;
constexpr double kSurePoints = 28;   // that many agree by chance never
constexpr double kLeastShare = 0.4;  // of the places found again must agree
constexpr double kLargeMove = 2;     // working pixels
constexpr int kSearchEvery = 8;      // lost pictures, then the whole picture is searched for the eye

cv::Mat Gray(const cv::Mat& picture, double factor) {
  cv::Mat gray = picture, small;
  if (picture.channels() == 3) cv::cvtColor(picture, gray, cv::COLOR_BGR2GRAY);
  if (factor > 1)
    cv::resize(gray, small, {cvRound(gray.cols / factor), cvRound(gray.rows / factor)}, 0, 0, cv::INTER_AREA);
  else
    small = gray;
  return small;
}

// Contrast made even, so that vessels and iris count as much as lashes and metal.
cv::Mat Texture(const cv::Mat& gray) {
  cv::Mat mean, square, even(gray.size(), CV_32F), out;
  cv::boxFilter(gray, mean, CV_32F, {31, 31});
  cv::sqrBoxFilter(gray, square, CV_32F, {31, 31});
  for (int y = 0; y < gray.rows; ++y) {
    const auto* light = gray.ptr(y);
    const auto *m = mean.ptr<float>(y), *s = square.ptr<float>(y);
    auto* to = even.ptr<float>(y);
    for (int x = 0; x < gray.cols; ++x)
      to[x] = 40 * (static_cast<float>(light[x]) - m[x]) /
                  (std::sqrt(std::max(s[x] - m[x] * m[x], 0.0F)) + kFaint) +
              128;
  }
  even.convertTo(out, CV_8U);
  cv::GaussianBlur(out, out, {}, 0.8);
  return out;
}

PointPx Small(PointPx p, double factor) { return {(p.x + 0.5) / factor - 0.5, (p.y + 0.5) / factor - 0.5}; }
PointPx Large(PointPx p, double factor) { return {(p.x + 0.5) * factor - 0.5, (p.y + 0.5) * factor - 0.5}; }

// Between so many pupil radii and so many limbus radii.
cv::Mat RingMask(cv::Size size, const FoundEye& eye, double factor, double inner, double outer) {
  cv::Mat mask = cv::Mat::zeros(size, CV_8U);
  const auto draw = [&](const EyeEllipse& e, double by, int value) {
    const PointPx c = Small(e.center, factor);
    cv::ellipse(mask,
                cv::RotatedRect({static_cast<float>(c.x), static_cast<float>(c.y)},
                                {static_cast<float>(2 * by * e.half_long / factor),
                                 static_cast<float>(2 * by * e.half_short / factor)},
                                static_cast<float>(e.angle.degrees())),
                cv::Scalar(value), cv::FILLED);
  };
  draw(eye.limbus.ellipse, outer, 255);
  draw(eye.pupil.ellipse, inner, 0);
  return mask;
}

cv::Matx23d Composed(const cv::Matx23d& a, const cv::Matx23d& b) {  // first b, then a
  const cv::Matx22d ra(a(0, 0), a(0, 1), a(1, 0), a(1, 1)), rb(b(0, 0), b(0, 1), b(1, 0), b(1, 1));
  const cv::Matx22d r = ra * rb;
  const cv::Vec2d t = ra * cv::Vec2d(b(0, 2), b(1, 2)) + cv::Vec2d(a(0, 2), a(1, 2));
  return {r(0, 0), r(0, 1), t[0], r(1, 0), r(1, 1), t[1]};
}

// How far two maps bring a corner of a picture of that size apart, at most.
double FarthestMove(const cv::Matx23d& a, const cv::Matx23d& b, cv::Size size) {
  double most = 0;
  for (const double x : {0.0, static_cast<double>(size.width)})
    for (const double y : {0.0, static_cast<double>(size.height)})
      most = std::max(most, cv::norm((a - b) * cv::Vec3d(x, y, 1)));
  return most;
}

}  // namespace

EyeMotion::EyeMotion(const cv::Mat& reference, const FoundEye& eye, EyeMotionOptions options)
    : options_(options) {
  factor_ =
      std::max(1.0, std::max(reference.cols, reference.rows) / static_cast<double>(options.working_side));
  reference_origin_ = eye.limbus.ellipse.center;
  reference_diameter_ = eye.limbus.ellipse.MeanDiameter();
  last_.origin = reference_origin_;
  if (reference.empty()) return;
  const cv::Mat gray = Gray(reference, factor_);
  reference_ = Texture(gray);
  // Glints are no part of the eye.
  cv::Mat glints = gray > 245;
  cv::dilate(glints, glints, {}, {-1, -1}, 4);
  const double apart = std::max(4.0, eye.limbus.ellipse.half_long / factor_ / 16);
  const auto pick = [&](double inner, double outer, std::size_t most) {
    cv::Mat mask = RingMask(gray.size(), eye, factor_, inner, outer);
    mask.setTo(0, glints);
    std::vector<cv::Point2f> points;
    cv::goodFeaturesToTrack(reference_, points, static_cast<int>(most), 0.02, apart, mask, 7);
    points_.insert(points_.end(), points.begin(), points.end());
  };
  pick(options.inner, kCore, options.points / 2);
  core_ = points_.size();
  const cv::Mat beyond = RingMask(gray.size(), eye, factor_, options.inner, kCore);
  glints.setTo(255, beyond);
  pick(options.inner, options.outer, options.points / 2);
  cv::buildOpticalFlowPyramid(reference_, pyramid_, {kWindow, kWindow}, kLevels);
}

cv::Matx23d EyeMotion::MapOfPose(const EyePose& pose) const {
  const double c = pose.zoom * std::cos(pose.turn.radians()), s = pose.zoom * std::sin(pose.turn.radians());
  const PointPx from = Small(reference_origin_, factor_), to = Small(pose.origin, factor_);
  return {c, -s, to.x - c * from.x + s * from.y, s, c, to.y - s * from.x - c * from.y};
}

bool EyeMotion::Improve(const cv::Mat& picture, cv::Matx23d& picture_from_reference, EyePose& pose) const {
  cv::Mat back;
  cv::warpAffine(picture, back, picture_from_reference, reference_.size(),
                 cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_CONSTANT);
  std::vector<cv::Mat> pyramid;
  cv::buildOpticalFlowPyramid(Texture(back), pyramid, {kWindow, kWindow}, kLevels);
  std::vector<cv::Point2f> there, again;
  std::vector<std::uint8_t> found, found_again;
  std::vector<float> error;
  if (points_.size() < kLeastPoints) return false;
  const cv::TermCriteria close(cv::TermCriteria::COUNT + cv::TermCriteria::EPS, kMostSteps, kClose);
  cv::calcOpticalFlowPyrLK(pyramid_, pyramid, points_, there, found, error, {kWindow, kWindow}, kLevels,
                           close);
  cv::calcOpticalFlowPyrLK(pyramid, pyramid_, there, again, found_again, error, {kWindow, kWindow}, kLevels,
                           close);
  std::vector<cv::Point2f> from, to;
  std::size_t core = 0;
  for (std::size_t i = 0; i < points_.size(); ++i) {
    if (!found[i] || !found_again[i] || cv::norm(again[i] - points_[i]) > kRoundTrip) continue;
    from.push_back(points_[i]), to.push_back(there[i]);
    if (i < core_) ++core;
  }
  if (core < kLeastPoints) return false;
  // What lies within the limbus leads; the rest, which may be lid or drape, follows where it agrees.
  cv::Mat inliers;
  const std::vector<cv::Point2f> core_from(from.begin(), from.begin() + static_cast<std::ptrdiff_t>(core));
  const std::vector<cv::Point2f> core_to(to.begin(), to.begin() + static_cast<std::ptrdiff_t>(core));
  cv::Mat fit = cv::estimateAffinePartial2D(core_from, core_to, inliers, cv::RANSAC, kAgree, 500, 0.99, 10);
  if (fit.empty()) return false;
  const auto agreeing = [&](double within, std::vector<cv::Point2f>& a, std::vector<cv::Point2f>& b) {
    const cv::Matx23d by(fit);
    a.clear(), b.clear();
    for (std::size_t i = 0; i < from.size(); ++i) {
      const cv::Vec2d at = by * cv::Vec3d(from[i].x, from[i].y, 1);
      if (std::hypot(at[0] - to[i].x, at[1] - to[i].y) < within) a.push_back(from[i]), b.push_back(to[i]);
    }
  };
  std::vector<cv::Point2f> a, b;
  agreeing(2 * kAgree, a, b);
  if (a.size() < kLeastPoints) return false;
  fit = cv::estimateAffinePartial2D(a, b, inliers, cv::RANSAC, kAgree, 500, 0.99, 10);
  if (fit.empty()) return false;
  agreeing(kAgree, a, b);
  const cv::Matx23d change(fit);
  double off = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    const cv::Vec2d at = change * cv::Vec3d(a[i].x, a[i].y, 1);
    off += (at[0] - b[i].x) * (at[0] - b[i].x) + (at[1] - b[i].y) * (at[1] - b[i].y);
  }
  pose.points = a.size();
  if (pose.points < kLeastPoints) return false;
  pose.off_px = factor_ * std::sqrt(off / static_cast<double>(pose.points));
  const double share = static_cast<double>(pose.points) / static_cast<double>(from.size());
  pose.trust =
      std::min(1.0, static_cast<double>(pose.points) / kSurePoints) * std::min(1.0, share / kLeastShare);
  picture_from_reference = Composed(picture_from_reference, change);
  return true;
}

bool EyeMotion::Register(const cv::Mat& gray, EyePose& pose) const {
  cv::Matx23d map = MapOfPose(pose);
  const cv::Matx23d before = map;
  if (!Improve(gray, map, pose)) return false;
  // After a large motion again, from close by, which makes it exact.
  if (FarthestMove(before, map, reference_.size()) > kLargeMove && !Improve(gray, map, pose)) return false;
  const PointPx from = Small(reference_origin_, factor_);
  const cv::Vec2d to = map * cv::Vec3d(from.x, from.y, 1);
  pose.origin = Large({to[0], to[1]}, factor_);
  pose.zoom = std::hypot(map(0, 0), map(1, 0));
  pose.turn = Angle::Radians(std::atan2(map(1, 0), map(0, 0)));
  return pose.trust >= kLeastTrust && pose.zoom > kLeastZoom && pose.zoom < 1 / kLeastZoom;
}

EyePose EyeMotion::Next(const cv::Mat& picture) {
  EyePose lost = last_;
  lost.trust = 0, lost.points = 0;
  if (picture.empty() || reference_.empty()) return lost;
  const cv::Mat gray = Gray(picture, factor_);
  if (gray.size() != reference_.size()) return lost;
  cv::theRNG().state = 0x5eed;  // RANSAC draws the same for the same pictures
  EyePose pose = last_;
  bool found = Register(gray, pose);
  if (!found && lost_++ % kSearchEvery == kSearchEvery - 1) {
    const auto eye = FindEye(picture, std::nullopt);
    if (eye.ok() && eye->limbus.trust >= kLeastTrust) {
      pose = last_;
      pose.origin = eye->limbus.ellipse.center;
      pose.zoom = eye->limbus.ellipse.MeanDiameter() / reference_diameter_;
      found = Register(gray, pose);
    }
  }
  if (!found) {
    lost.trust = std::min(pose.trust, 0.9 * kLeastTrust), lost.points = pose.points;
    return lost;
  }
  lost_ = 0;
  return last_ = pose;
}

EyePose PoseAt(const std::vector<TimedPose>& poses, double seconds) {
  const auto after = std::lower_bound(poses.begin(), poses.end(), seconds,
                                      [](const TimedPose& t, double s) { return t.seconds < s; });
  if (after == poses.end()) return poses.back().pose;
  if (after == poses.begin() || after->seconds == seconds) return after->pose;
  const TimedPose &a = *std::prev(after), &b = *after;
  const double share = (seconds - a.seconds) / (b.seconds - a.seconds);
  EyePose out = a.pose;
  out.origin = Lerp(a.pose.origin, b.pose.origin, share);
  out.zoom = std::lerp(a.pose.zoom, b.pose.zoom, share);
  out.turn = a.pose.turn + share * Angle::Radians(std::remainder((b.pose.turn - a.pose.turn).radians(),
                                                                 2 * std::numbers::pi));
  return out;
}

PointPx ReferenceFromPicture(const EyePose& pose, PointPx reference_origin, PointPx p) {
  const double c = std::cos(pose.turn.radians()) / pose.zoom, s = std::sin(pose.turn.radians()) / pose.zoom;
  const OffsetPx d = p - pose.origin;
  return {reference_origin.x + c * d.x + s * d.y, reference_origin.y - s * d.x + c * d.y};
}

PointPx PictureFromReference(const EyePose& pose, PointPx reference_origin, PointPx p) {
  const double c = std::cos(pose.turn.radians()) * pose.zoom, s = std::sin(pose.turn.radians()) * pose.zoom;
  const OffsetPx d = p - reference_origin;
  return {pose.origin.x + c * d.x - s * d.y, pose.origin.y + s * d.x + c * d.y};
}

std::vector<ZoomChange> FindZoomChanges(const std::vector<TimedZoom>& zooms, double least) {
  constexpr double kSteadySeconds = 0.5;
  struct Steady {
    double start_s, end_s, zoom;
  };
  std::vector<Steady> steady;
  for (std::size_t from = 0; from < zooms.size();) {
    // The longest run from here that stays within the band.
    double low = zooms[from].zoom, high = low;
    std::size_t to = from;
    std::vector<double> run;
    while (to < zooms.size()) {
      const double l = std::min(low, zooms[to].zoom), h = std::max(high, zooms[to].zoom);
      if (h / l > 1 + 2 * least / 3) break;
      low = l, high = h;
      run.push_back(zooms[to++].zoom);
    }
    if (zooms[to - 1].seconds - zooms[from].seconds < kSteadySeconds) {
      ++from;
      continue;
    }
    std::nth_element(run.begin(), run.begin() + static_cast<std::ptrdiff_t>(run.size() / 2), run.end());
    steady.push_back({zooms[from].seconds, zooms[to - 1].seconds, run[run.size() / 2]});
    from = to;
  }
  std::vector<ZoomChange> out;
  std::size_t last = 0;
  for (std::size_t i = 1; i < steady.size(); ++i) {
    if (std::abs(std::log(steady[i].zoom / steady[last].zoom)) > std::log(1 + least)) {
      out.push_back({steady[i - 1].end_s, steady[i].start_s, steady[last].zoom, steady[i].zoom});
      last = i;
    }
  }
  return out;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/eye_texture.hpp"
#include "metrics/phantom/random.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope::phantom {
namespace {

constexpr double kLidHalfMm = 21;
constexpr double kHalfWidthMm = 14.2;

// The opening between the lids, in the lids' own directions: u along it, v towards the upper lid.
struct Opening {
  OffsetMm along;
  OffsetMm upward;
  double upper_mm = 7.4;
  double lower_mm = 7.8;

  // Below 1 inside, above 1 outside.
  double Level(double u, double v) const {
    return std::pow(std::abs(u) / kHalfWidthMm, 2.3) +
           std::pow(std::abs(v) / (v > 0 ? upper_mm : lower_mm), 2.3);
  }
  double Margin(double u, bool upper) const {  // |v| of the lid's margin there
    const double left = 1 - std::pow(std::min(std::abs(u) / kHalfWidthMm, 1.0), 2.3);
    return (upper ? upper_mm : lower_mm) * std::pow(left, 1 / 2.3);
  }
  PointMm At(double u, double v) const { return PointMm{} + u * along + v * upward; }
};

Opening OpeningOf(const Scene& scene) {
  Opening opening;
  const double a = scene.eye.PictureAngle(0);
  const double b = scene.eye.PictureAngle(90);
  opening.along = {std::cos(a), std::sin(a)};
  opening.upward = {std::cos(b), std::sin(b)};
  if (scene.disturbance.lid_cover_mm > 0)
    opening.upper_mm = scene.eye.corneal_height_mm / 2 - scene.disturbance.lid_cover_mm;
  return opening;
}

class LidPainter {
 public:
  explicit LidPainter(const Scene& scene)
      : scene_(scene),
        opening_(OpeningOf(scene)),
        random_(Random(scene.seed).Fork(51)),
        k_(0.7 * scene.px_per_mm),
        pixels_(cvRound(2 * kLidHalfMm * k_) + 1, cvRound(2 * kLidHalfMm * k_) + 1, CV_8UC4) {}

  Texture Paint() {
    Skin();
    for (const bool upper : {true, false}) {
      Lashes(upper);
      if (scene_.speculum == Speculum::kWire)
        Wires(upper);
      else
        Blade(upper);
    }
    cv::GaussianBlur(pixels_, pixels_, {}, 0.09 * k_);
    return {pixels_, k_, kLidHalfMm};
  }

 private:
  cv::Point Fixed(PointMm p) const {
    return {cvRound((p.x + kLidHalfMm) * k_ * 16), cvRound((p.y + kLidHalfMm) * k_ * 16)};
  }
  void Line(const std::vector<PointMm>& points, double width_mm, const cv::Scalar& colour) {
    std::vector<cv::Point> fixed;
    fixed.reserve(points.size());
    for (const PointMm p : points) fixed.push_back(Fixed(p));
    cv::polylines(pixels_, std::vector<std::vector<cv::Point>>{fixed}, false,
                  cv::Scalar(colour[0], colour[1], colour[2], 255), std::max(1, cvRound(width_mm * k_)),
                  cv::LINE_AA, 4);
  }
  // Metal: dark rim, grey body, a bright line off the middle.
  void Rod(const std::vector<PointMm>& points, double width_mm, const cv::Scalar& body) {
    Line(points, width_mm, {30, 36, 32});
    Line(points, 0.72 * width_mm, body);
    std::vector<PointMm> shifted = points;
    for (PointMm& p : shifted) p = p + OffsetMm{-0.12 * width_mm, -0.12 * width_mm};
    Line(shifted, 0.18 * width_mm, {176, 190, 184});
  }

  void Skin() {
    const cv::Mat folds = SmoothNoise(pixels_.size(), 2.4 * k_, scene_.seed + 120);
    const cv::Mat pores = SmoothNoise(pixels_.size(), 0.4 * k_, scene_.seed + 121);
    for (int y = 0; y < pixels_.rows; ++y)
      for (int x = 0; x < pixels_.cols; ++x) {
        const PointMm p{x / k_ - kLidHalfMm, y / k_ - kLidHalfMm};
        const OffsetMm d = p - PointMm{};
        const double level = opening_.Level(Dot(d, opening_.along), Dot(d, opening_.upward));
        // About millimetres outside of the margin.
        const double out = (level - 1) * 3.3 + 0.05 * folds.at<float>(y, x);
        const auto alpha = static_cast<float>(std::clamp(0.5 + out / 0.35, 0.0, 1.0));
        const auto margin = static_cast<float>(std::exp(-out * out / 0.5));
        const auto drape = static_cast<float>(std::clamp((out - 4.5) / 2.5, 0.0, 1.0));
        const float fold = folds.at<float>(y, x);
        const float pore = pores.at<float>(y, x);
        cv::Vec3f skin = cv::Vec3f(62, 84, 132) + fold * cv::Vec3f(9, 12, 17) + pore * cv::Vec3f(4, 5, 6);
        skin = (1 - 0.6f * margin) * skin + 0.6f * margin * cv::Vec3f(128, 142, 196);
        const cv::Vec3f cloth =
            cv::Vec3f(40, 62, 30) + fold * cv::Vec3f(9, 12, 8) + pore * cv::Vec3f(2, 3, 2);
        const cv::Vec3f colour = (1 - drape) * skin + drape * cloth;
        pixels_.at<cv::Vec4b>(y, x) =
            cv::Vec4b(cv::saturate_cast<std::uint8_t>(colour[0]), cv::saturate_cast<std::uint8_t>(colour[1]),
                      cv::saturate_cast<std::uint8_t>(colour[2]), static_cast<std::uint8_t>(255 * alpha));
      }
  }

  void Lashes(bool upper) {
    for (int i = 0; i < 9; ++i) {
      const double u = random_.Between(-11, 11);
      const double side = upper ? 1 : -1;
      double v = opening_.Margin(u, upper) + 0.5;
      double lean = random_.Between(-0.5, 0.5);
      std::vector<PointMm> points;
      double at = u;
      for (int j = 0; j < 7; ++j) {
        points.push_back(opening_.At(at, side * v));
        v += 0.28;
        at += 0.28 * lean;
        lean += 0.12 * random_.Normal();
      }
      Line(points, 0.1, {22, 26, 34});
    }
  }

  void Wires(bool upper) {
    const double side = upper ? 1 : -1;
    const double spread = random_.Between(4.5, 6.5);
    for (const double u : {-spread, spread}) {
      const double margin = opening_.Margin(u, upper);
      Rod({opening_.At(u * 0.97, side * (margin - 0.7)), opening_.At(u, side * (margin + 0.4)),
           opening_.At(u * 1.05, side * (margin + 3.5)), opening_.At(u * 1.5, side * (margin + 6)),
           opening_.At(u * 2.4, side * (margin + 6.6))},
          0.85, {92, 106, 88});
    }
  }

  void Blade(bool upper) {
    const double side = upper ? 1 : -1;
    std::vector<PointMm> points;
    for (double u = -8; u <= 8.01; u += 0.5)
      points.push_back(opening_.At(u, side * (opening_.Margin(u, upper) + 0.35)));
    Rod(points, 1.5, {74, 108, 128});
    for (const double u : {-8.0, 8.0})
      Rod({opening_.At(u, side * (opening_.Margin(u, upper) + 0.3)),
           opening_.At(1.25 * u, side * (opening_.Margin(u, upper) + 5)),
           opening_.At(2.2 * u, side * (opening_.Margin(u, upper) + 7))},
          0.9, {60, 76, 62});
  }

  const Scene& scene_;
  Opening opening_;
  Random random_;
  double k_;
  cv::Mat pixels_;
};

}  // namespace

Texture LidTexture(const Scene& scene) { return LidPainter(scene).Paint(); }

}  // namespace afterscope::phantom

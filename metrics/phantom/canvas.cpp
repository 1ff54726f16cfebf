// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/canvas.hpp"

#include "metrics/phantom/random.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

constexpr int kSubpixelBits = 6;

std::vector<cv::Point> FixedPoints(const std::vector<PointSq>& points, cv::Point origin) {
  std::vector<cv::Point> fixed;
  fixed.reserve(points.size());
  const double unit = 1 << kSubpixelBits;
  for (const PointSq p : points)
    fixed.emplace_back(cvRound((p.x - origin.x) * unit), cvRound((p.y - origin.y) * unit));
  return fixed;
}

std::uint8_t Mixed(int from, int to, int weight) {  // weight 0 to 65025
  return static_cast<std::uint8_t>(from +
                                   ((to - from) * weight + 32512 * ((to > from) - (to < from))) / 65025);
}

}  // namespace

Patch PatchAround(cv::Mat& picture, PointSq centre, double radius_px) {
  const cv::Rect wanted(
      static_cast<int>(std::floor(centre.x - radius_px)), static_cast<int>(std::floor(centre.y - radius_px)),
      static_cast<int>(std::ceil(2 * radius_px)) + 2, static_cast<int>(std::ceil(2 * radius_px)) + 2);
  const cv::Rect inside = wanted & cv::Rect(0, 0, picture.cols, picture.rows);
  if (inside.empty()) return {};
  return {picture(inside), inside.tl()};
}

void CoverInside(const PolarShape& shape, const Placement& place, double magnification, double soft_px,
                 const Patch& patch, cv::Mat& cover) {
  cover.create(patch.pixels.size(), CV_8U);
  const double px = place.px_per_mm * magnification;
  const double soft = std::max(soft_px, 1.0);
  const double inner = std::max(0.0, shape.LeastRadius() - soft / px);
  const double outer = shape.LargestRadius() + soft / px;
  for (int y = 0; y < cover.rows; ++y) {
    auto* row = cover.ptr<std::uint8_t>(y);
    const PointMm first = place.Back(
        {static_cast<double>(patch.origin.x), static_cast<double>(patch.origin.y + y)}, magnification);
    const PointMm second =
        place.Back({patch.origin.x + 1.0, static_cast<double>(patch.origin.y + y)}, magnification);
    double dx = first.x - shape.centre.x;
    double dy = first.y - shape.centre.y;
    for (int x = 0; x < cover.cols; ++x, dx += second.x - first.x, dy += second.y - first.y) {
      const double square = dx * dx + dy * dy;
      if (square <= inner * inner) {
        row[x] = 255;
        continue;
      }
      if (square >= outer * outer) {
        row[x] = 0;
        continue;
      }
      const double away = (shape.RadiusAt(std::atan2(dy, dx)) - std::sqrt(square)) * px;
      row[x] = static_cast<std::uint8_t>(std::lround(255 * std::clamp(0.5 + away / soft, 0.0, 1.0)));
    }
  }
}

void CoverPolygon(const std::vector<PointSq>& polygon, const Patch& patch, cv::Mat& cover) {
  cover = cv::Mat::zeros(patch.pixels.size(), CV_8U);
  if (polygon.size() < 3) return;
  const auto fixed = FixedPoints(polygon, patch.origin);
  cv::fillPoly(cover, std::vector<std::vector<cv::Point>>{fixed}, cv::Scalar(255), cv::LINE_AA,
               kSubpixelBits);
}

void CoverLine(const std::vector<PointSq>& points, bool closed, double width_px, const Patch& patch,
               cv::Mat& cover) {
  cover = cv::Mat::zeros(patch.pixels.size(), CV_8U);
  if (points.size() < 2) return;
  const auto fixed = FixedPoints(points, patch.origin);
  const double strength = std::min(1.0, width_px);
  cv::polylines(cover, std::vector<std::vector<cv::Point>>{fixed}, closed, cv::Scalar(255 * strength),
                std::max(1, cvRound(width_px)), cv::LINE_AA, kSubpixelBits);
}

void CoverUnevenLine(const std::vector<PointSq>& points, bool closed, double width_px, double phase,
                     const Patch& patch, cv::Mat& cover) {
  cover = cv::Mat::zeros(patch.pixels.size(), CV_8U);
  if (points.size() < 2) return;
  const auto fixed = FixedPoints(points, patch.origin);
  const double strength = std::min(1.0, width_px);
  const std::size_t count = closed ? fixed.size() : fixed.size() - 1;
  for (std::size_t i = 0; i < count; ++i) {
    const double at = 6.283185 * static_cast<double>(i) / static_cast<double>(fixed.size()) + phase;
    const double here = 0.45 + 0.3 * std::sin(2 * at) + 0.25 * std::sin(5 * at + 1.3 * phase);
    cv::line(cover, fixed[i], fixed[(i + 1) % fixed.size()],
             cv::Scalar(255 * strength * std::clamp(here, 0.08, 1.0)), std::max(1, cvRound(width_px)),
             cv::LINE_AA, kSubpixelBits);
  }
}

void PaintColour(const Bgr& colour, double opacity, const cv::Mat& cover, cv::Mat& pixels) {
  const int weight = cvRound(255 * std::clamp(opacity, 0.0, 1.0));
  for (int y = 0; y < pixels.rows; ++y) {
    const auto* c = cover.ptr<std::uint8_t>(y);
    auto* p = pixels.ptr<Bgr>(y);
    for (int x = 0; x < pixels.cols; ++x) {
      if (c[x] == 0) continue;
      for (int k = 0; k < 3; ++k) p[x][k] = Mixed(p[x][k], colour[k], c[x] * weight);
    }
  }
}

void PaintImage(const cv::Mat& image, double opacity, const cv::Mat& cover, cv::Mat& pixels) {
  const int weight = cvRound(255 * std::clamp(opacity, 0.0, 1.0));
  for (int y = 0; y < pixels.rows; ++y) {
    const auto* c = cover.ptr<std::uint8_t>(y);
    const auto* from = image.ptr<Bgr>(y);
    auto* p = pixels.ptr<Bgr>(y);
    for (int x = 0; x < pixels.cols; ++x) {
      if (c[x] == 0) continue;
      for (int k = 0; k < 3; ++k) p[x][k] = Mixed(p[x][k], from[x][k], c[x] * weight);
    }
  }
}

void AddGlow(const Bgr& colour, PointSq at, double radius_px, double strength, cv::Mat& picture) {
  Patch patch = PatchAround(picture, at, 3 * radius_px);
  for (int y = 0; y < patch.pixels.rows; ++y) {
    auto* row = patch.pixels.ptr<Bgr>(y);
    const double dy = patch.origin.y + y - at.y;
    for (int x = 0; x < patch.pixels.cols; ++x) {
      const double dx = patch.origin.x + x - at.x;
      const double light = strength * std::exp(-0.5 * (dx * dx + dy * dy) / (radius_px * radius_px));
      for (int k = 0; k < 3; ++k) row[x][k] = cv::saturate_cast<std::uint8_t>(row[x][k] + light * colour[k]);
    }
  }
}

void PlaceTexture(const Texture& texture, const Placement& place, double magnification,
                  const cv::Scalar& border, Patch& patch) {
  // From the patch's pixels to the texture's, as warpAffine wants it with WARP_INVERSE_MAP.
  const PointMm zero =
      place.Back({static_cast<double>(patch.origin.x), static_cast<double>(patch.origin.y)}, magnification);
  const PointMm right =
      place.Back({patch.origin.x + 1.0, static_cast<double>(patch.origin.y)}, magnification);
  const PointMm down = place.Back({static_cast<double>(patch.origin.x), patch.origin.y + 1.0}, magnification);
  const double k = texture.px_per_mm;
  const cv::Matx23d texture_from_patch(k * (right.x - zero.x), k * (down.x - zero.x),
                                       k * (zero.x + texture.half_mm), k * (right.y - zero.y),
                                       k * (down.y - zero.y), k * (zero.y + texture.half_mm));
  cv::warpAffine(texture.pixels, patch.pixels, texture_from_patch, patch.pixels.size(),
                 cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_CONSTANT, border);
}

cv::Mat SmoothNoise(cv::Size size, double grain_px, std::uint64_t seed) {
  Random random(seed);
  const double shrink = std::max(1.0, grain_px / 2);
  cv::Mat small(std::max(4, cvCeil(size.height / shrink)), std::max(4, cvCeil(size.width / shrink)), CV_32F);
  for (int y = 0; y < small.rows; ++y)
    for (int x = 0; x < small.cols; ++x) small.at<float>(y, x) = static_cast<float>(random.Normal());
  cv::GaussianBlur(small, small, {}, grain_px / shrink / 2, grain_px / shrink / 2, cv::BORDER_REFLECT);
  cv::Mat noise;
  cv::resize(small, noise, size, 0, 0, cv::INTER_CUBIC);
  cv::Scalar mean;
  cv::Scalar spread;
  cv::meanStdDev(noise, mean, spread);
  return (noise - mean[0]) / std::max(spread[0], 1e-6);
}

}  // namespace afterscope::phantom

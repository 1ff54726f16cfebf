// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/ring_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

cv::Vec3f Bilinear(const cv::Mat& image, double x, double y) {
  const int x0 = static_cast<int>(x), y0 = static_cast<int>(y);
  const auto fx = static_cast<float>(x - x0), fy = static_cast<float>(y - y0);
  const cv::Vec3f* top = image.ptr<cv::Vec3f>(y0) + x0;
  const cv::Vec3f* bottom = image.ptr<cv::Vec3f>(y0 + 1) + x0;
  return (1 - fy) * ((1 - fx) * top[0] + fx * top[1]) + fy * ((1 - fx) * bottom[0] + fx * bottom[1]);
}

float Length(const cv::Vec3f& v) { return std::sqrt(v.dot(v)); }

}  // namespace

RingView::RingView(const cv::Mat& colors, const EllipseMap& map, int rays, double first, double step,
                   int count)
    : rays_(rays), count_(count), first_(first), step_(step) {
  sums_.assign(static_cast<std::size_t>(rays) * static_cast<std::size_t>(count + 1), {0, 0, 0});
  usable_.assign(static_cast<std::size_t>(rays), 0);
  for (int ray = 0; ray < rays; ++ray) {
    const double t = 2 * std::numbers::pi * ray / rays;
    const double c = std::cos(t), s = std::sin(t);
    cv::Vec3f* sums = &sums_[static_cast<std::size_t>(ray) * static_cast<std::size_t>(count + 1)];
    int i = 0;
    for (; i < count; ++i) {
      const PointPx p = map.At(c, s, first + step * (i + 0.5));
      if (!(p.x >= 0 && p.y >= 0 && p.x < colors.cols - 1 && p.y < colors.rows - 1)) break;
      sums[i + 1] = sums[i] + Bilinear(colors, p.x, p.y);
    }
    usable_[static_cast<std::size_t>(ray)] = i;
  }
}

bool RingView::StepAt(int ray, int index, int width, cv::Vec3f& out) const {
  if (index < width || index + width > usable_[static_cast<std::size_t>(ray)]) return false;
  const cv::Vec3f* sums = &sums_[static_cast<std::size_t>(ray) * static_cast<std::size_t>(count_ + 1)];
  out = (sums[index + width] - 2 * sums[index] + sums[index - width]) / static_cast<float>(width);
  return true;
}

bool BoundaryAt(const RingView& view, int ray, int index, int width, RingKind kind, cv::Vec3f& out) {
  if (kind == RingKind::kPupil) return view.StepAt(ray, index, width, out);
  cv::Vec3f here, within, beyond;
  if (!view.StepAt(ray, index, width, here) || !view.StepAt(ray, index - width, width, within) ||
      !view.StepAt(ray, index + width, width, beyond))
    return false;
  out = {here[0] - 0.5F * (within[0] + beyond[0]), here[1], kGreyLine * (beyond[2] - within[2])};
  return true;
}

cv::Vec3f AsPossible(cv::Vec3f boundary, RingKind kind) {
  if (kind == RingKind::kLimbus)
    boundary[0] = std::max(boundary[0], 0.0F), boundary[2] = std::max(boundary[2], 0.0F);
  return boundary;
}

double RingStrength(const RingView& view, int index, int width, RingKind kind) {
  std::array<cv::Vec3f, kSectors> means;
  for (int sector = 0; sector < kSectors; ++sector) {
    const int begin = view.rays() * sector / kSectors, end = view.rays() * (sector + 1) / kSectors;
    cv::Vec3f sum(0, 0, 0), d;
    for (int ray = begin; ray < end; ++ray)
      if (BoundaryAt(view, ray, index, width, kind, d)) sum += d;
    const cv::Vec3f mean = AsPossible(sum / static_cast<float>(end - begin), kind);
    const float length = Length(mean);
    means[static_cast<std::size_t>(sector)] = length > kRingCap ? mean * (kRingCap / length) : mean;
  }
  double total = 0;
  for (std::size_t i = 0; i < kSectors; ++i)
    total += Length(means[i] + means[(i + 1) % kSectors] + means[(i + 2) % kSectors]) / 3;
  return total / kSectors;
}

}  // namespace afterscope

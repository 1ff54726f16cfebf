// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/polar_edges.hpp"

#include "metrics/picture/plane_samples.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"
#include "metrics/series/quantiles.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace afterscope {
namespace {

constexpr float kDark = 30;         // added before the logarithm: below it noise and compression rule
constexpr double kAlongEdge = 1.6;  // square pixels: changes are averaged that far along the edge (SD)
constexpr double kNoLimit = std::numeric_limits<double>::infinity();
constexpr double kWide = 2.2;  // of the wide changes against the narrow ones

struct Signals {
  cv::Mat red, green, lightness;
};

Signals Unroll(const Picture& picture, const PolarGrid& grid, const std::vector<double>& last) {
  const double aspect = picture.pixel_aspect.value();
  const PixelSamples samples(picture);
  const YuvToRgb to_rgb = YuvToRgbFor(picture);
  Signals out;
  for (cv::Mat* mat : {&out.red, &out.green, &out.lightness})
    mat->create(grid.directions, grid.count, CV_32F);
  for (int row = 0; row < grid.directions; ++row)
    for (int column = 0; column < grid.count; ++column) {
      const double most = last.empty() ? kNoLimit : last[static_cast<std::size_t>(row)];
      const PointPx p = PxFromSq(grid.At(row, std::min(grid.RadiusAt(column), most)), aspect);
      const std::array<float, 3> rgb = to_rgb.Apply(samples.Between(p.x, p.y));
      const auto level = [](float v) { return 255 * std::clamp(v, 0.0F, 1.0F); };
      out.red.at<float>(row, column) = std::log(level(rgb[0]) + kDark);
      out.green.at<float>(row, column) = std::log(level(rgb[1]) + kDark);
      out.lightness.at<float>(row, column) = level(0.3F * rgb[0] + 0.59F * rgb[1] + 0.11F * rgb[2]);
    }
  return out;
}

// Averaged along the edge, round and round.
cv::Mat AlongEdge(const cv::Mat& signal, const PolarGrid& grid) {
  const double radius = grid.RadiusAt(0.5 * grid.count);
  const double rows = kAlongEdge / std::max(1e-6, radius * 2 * std::numbers::pi / grid.directions);
  const int border = static_cast<int>(std::ceil(3 * rows)) + 1;
  cv::Mat wrapped, smooth;
  cv::copyMakeBorder(signal, wrapped, border, border, 0, 0, cv::BORDER_WRAP);
  cv::GaussianBlur(wrapped, smooth, {1, 2 * border - 1}, 1e-3, std::max(rows, 1e-3));
  return smooth.rowRange(border, border + signal.rows).clone();
}

// First or second derivative of a Gaussian along the radius.
cv::Mat Change(const cv::Mat& signal, double columns, int order) {
  const int reach = static_cast<int>(std::ceil(3 * columns));
  cv::Mat kernel(1, 2 * reach + 1, CV_32F);
  for (int i = -reach; i <= reach; ++i) {
    const double u = i / columns, bell = std::exp(-0.5 * u * u);
    kernel.at<float>(i + reach) = static_cast<float>(order == 1 ? u * bell : (u * u - 1) * bell);
  }
  kernel -= cv::mean(kernel)[0];
  cv::Mat out;
  cv::filter2D(signal, out, CV_32F, kernel, {-1, -1}, 0, cv::BORDER_REPLICATE);
  return out;
}

// In units of what is usual in the ring, so that a faint change and a strong one weigh by how rare they are.
cv::Mat InUsualUnits(const cv::Mat& change) {
  std::vector<double> sizes;
  for (int row = 0; row < change.rows; row += 3)
    for (int column = 0; column < change.cols; column += 2)
      sizes.push_back(std::abs(change.at<float>(row, column)));
  const auto median = Quantile(sizes, 0.5);
  const double usual = 1.4826 * (median.ok() ? *median : 0) + 1e-6;
  const cv::Mat scaled = change / usual;
  return cv::min(cv::max(scaled, -kMostChange), kMostChange);
}

}  // namespace

double PolarGrid::Turn(int direction) const { return 2 * std::numbers::pi * direction / directions; }

PointSq PolarGrid::At(int direction, double radius) const {
  const double turn = Turn(direction);
  return centre + radius * OffsetSq{std::cos(turn), std::sin(turn)};
}

PolarEdges FindPolarEdges(const Picture& picture, const PolarGrid& grid, double width,
                          const std::vector<double>& last) {
  const Signals signals = Unroll(picture, grid, last);
  PolarEdges out{grid, {}, signals.lightness, signals.red - signals.green};
  const cv::Mat smooth[] = {AlongEdge(signals.red, grid), AlongEdge(signals.green, grid),
                            AlongEdge(out.redness, grid)};
  for (const double wide : {1.0, kWide})
    for (const cv::Mat& signal : smooth)
      for (const int order : {1, 2})
        out.changes.push_back(InUsualUnits(Change(signal, wide * width / grid.step, order)));
  return out;
}

std::vector<double> RadiiOfOutline(const PolarGrid& grid, const std::vector<PointSq>& outline) {
  std::vector<double> radii;
  for (int direction = 0; direction < grid.directions; ++direction) {
    const OffsetSq ray = grid.At(direction, 1) - grid.centre;
    double radius = -kNoLimit;
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const OffsetSq a = outline[i] - grid.centre, side = outline[(i + 1) % outline.size()] - outline[i];
      const double across = Cross(side, ray);
      if (across == 0) continue;
      const double share = Cross(ray, a) / across, reach = Cross(side, a) / across;
      if (share >= 0 && share < 1 && reach > 0) radius = std::max(radius, reach);
    }
    radii.push_back(radius > 0 ? radius : kNoLimit);
  }
  return radii;
}

}  // namespace afterscope

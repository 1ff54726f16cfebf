// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/tip_density.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <optional>

namespace afterscope {
namespace {

constexpr double kCellsPerSpread = 4;
constexpr double kMarginSpreads = 4;  // beyond it a place's density is next to nothing
constexpr double kMostSpreads = 100;
constexpr int kFiner = 4;  // outlines are taken from a grid that many times finer

// Densities on a grid; the middle of cell (0, 0) lies at `origin`.
struct DensityGrid {
  cv::Mat1f values;
  OffsetSq origin;
  double cell = 1;
};

std::optional<DensityGrid> GridOf(const std::vector<PlaceInTime>& places, double spread) {
  std::vector<PlaceInTime> usable;
  for (const PlaceInTime& p : places)
    if (std::isfinite(p.at.x) && std::isfinite(p.at.y) && std::isfinite(p.seconds) && p.seconds > 0)
      usable.push_back(p);
  if (usable.empty() || !(spread > 0) || !std::isfinite(spread)) return std::nullopt;
  const auto [left, right] = std::minmax_element(
      usable.begin(), usable.end(), [](const auto& a, const auto& b) { return a.at.x < b.at.x; });
  const auto [top, bottom] = std::minmax_element(
      usable.begin(), usable.end(), [](const auto& a, const auto& b) { return a.at.y < b.at.y; });
  const double width = right->at.x - left->at.x, height = bottom->at.y - top->at.y,
               margin = kMarginSpreads * spread;
  if (!(std::max(width, height) <= kMostSpreads * spread)) return std::nullopt;
  DensityGrid grid;
  grid.cell = spread / kCellsPerSpread;
  grid.origin = {left->at.x - margin, top->at.y - margin};
  const auto cells = [&](double length) {
    return static_cast<int>(std::ceil((length + 2 * margin) / grid.cell)) + 1;
  };
  grid.values = cv::Mat1f::zeros(cells(height), cells(width));
  for (const PlaceInTime& p : usable) {
    // Shared among the four cells around it, so that it keeps its place.
    const double x = (p.at.x - grid.origin.x) / grid.cell, y = (p.at.y - grid.origin.y) / grid.cell;
    const int column = static_cast<int>(x), row = static_cast<int>(y);
    const double fx = x - column, fy = y - row;
    for (const int dy : {0, 1})
      for (const int dx : {0, 1})
        grid.values(row + dy, column + dx) +=
            static_cast<float>(p.seconds * (dx == 1 ? fx : 1 - fx) * (dy == 1 ? fy : 1 - fy));
  }
  cv::GaussianBlur(grid.values, grid.values, {}, kCellsPerSpread, kCellsPerSpread, cv::BORDER_CONSTANT);
  return grid;
}

DensityGrid Finer(const DensityGrid& grid) {
  DensityGrid fine{{}, grid.origin, grid.cell / kFiner};
  cv::resize(grid.values, fine.values, {}, kFiner, kFiner, cv::INTER_CUBIC);
  // The first cell of a finer grid lies nearer to the edge of what it came from.
  const double shift = (fine.cell - grid.cell) / 2;
  fine.origin = fine.origin + OffsetSq{shift, shift};
  return fine;
}

// The density that the densest cells which together hold `share` of all stay above.
float LevelOf(const std::vector<float>& falling, double share) {
  const double wanted = share * std::accumulate(falling.begin(), falling.end(), 0.0);
  double held = 0;
  for (const float value : falling)
    if ((held += value) >= wanted) return value;
  return falling.back();
}

std::vector<std::vector<OffsetSq>> OutlinesOf(const DensityGrid& grid, float level) {
  std::vector<std::vector<cv::Point>> found;
  cv::findContours(grid.values >= level, found, cv::RETR_CCOMP, cv::CHAIN_APPROX_NONE);
  std::vector<std::vector<OffsetSq>> out;
  for (const std::vector<cv::Point>& outline : found) {
    if (outline.size() < 3) continue;
    std::vector<OffsetSq>& points = out.emplace_back();
    for (std::size_t i = 0; i < outline.size(); i += 2)
      points.push_back(grid.origin + grid.cell * OffsetSq{static_cast<double>(outline[i].x),
                                                          static_cast<double>(outline[i].y)});
  }
  return out;
}

}  // namespace

std::vector<DensityRegion> DensityRegions(const std::vector<PlaceInTime>& places, double spread,
                                          const std::vector<double>& shares) {
  const auto coarse = GridOf(places, spread);
  if (!coarse) return {};
  const DensityGrid grid = Finer(*coarse);
  std::vector<float> falling(grid.values.begin(), grid.values.end());
  std::sort(falling.begin(), falling.end(), std::greater<>());
  std::vector<DensityRegion> out;
  out.reserve(shares.size());
  for (const double share : shares) out.push_back({share, OutlinesOf(grid, LevelOf(falling, share))});
  return out;
}

}  // namespace afterscope

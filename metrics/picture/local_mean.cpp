// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/local_mean.hpp"

#include "metrics/picture/plane_samples.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

float CellOf(const PlaneSamples& luma, double cell_width, double cell_height, int column, int row) {
  float sum = 0;
  for (int j = 0; j < kLocalMeanSamples; ++j)
    for (int i = 0; i < kLocalMeanSamples; ++i)
      sum += luma.Between((column + (i + 0.5) / kLocalMeanSamples) * cell_width - 0.5,
                          (row + (j + 0.5) / kLocalMeanSamples) * cell_height - 0.5);
  return sum / (kLocalMeanSamples * kLocalMeanSamples);
}

// Where the cell of a column and a row lies; beyond the edges, the last one before.
std::size_t PlaceOf(const LocalMean& mean, int column, int row) {
  const auto x = static_cast<std::size_t>(std::clamp(column, 0, mean.columns - 1));
  const auto y = static_cast<std::size_t>(std::clamp(row, 0, mean.rows - 1));
  return y * static_cast<std::size_t>(mean.columns) + x;
}

// Along rows (dx = 1) or columns (dy = 1); cells repeat beyond the edges.
LocalMean Smoothed(const LocalMean& from, int dx, int dy) {
  LocalMean to = from;
  const auto at = [&](int x, int y) { return from.cells[PlaceOf(from, x, y)]; };
  for (int y = 0; y < from.rows; ++y)
    for (int x = 0; x < from.columns; ++x) {
      float sum = kLocalMeanWeights[0] * at(x, y);
      for (int k = 1; k < static_cast<int>(kLocalMeanWeights.size()); ++k)
        sum += kLocalMeanWeights[static_cast<std::size_t>(k)] *
               (at(x - k * dx, y - k * dy) + at(x + k * dx, y + k * dy));
      to.cells[PlaceOf(to, x, y)] = sum;
    }
  return to;
}

}  // namespace

std::array<int, 2> LocalMeanGrid(int width, int height) {
  const int longer = std::max({1, width, height});
  const int cells = std::min(kLocalMeanCells, longer);
  const auto share = [&](int side) {
    return std::max(1, static_cast<int>(std::lround(static_cast<double>(cells) * side / longer)));
  };
  return {share(width), share(height)};
}

LocalMean LocalMeanOf(const Picture& picture) {
  LocalMean mean;
  if (picture.empty()) return mean;
  const auto [columns, rows] = LocalMeanGrid(picture.width, picture.height);
  mean.columns = columns;
  mean.rows = rows;
  const PlaneSamples luma{picture.planes[0], picture.bytes_per_sample() == 2};
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column)
      mean.cells.push_back(CellOf(luma, static_cast<double>(picture.width) / columns,
                                  static_cast<double>(picture.height) / rows, column, row));
  return Smoothed(Smoothed(mean, 1, 0), 0, 1);
}

float LocalMean::At(const Picture& picture, int x, int y) const {
  const double column = (x + 0.5) * columns / picture.width - 0.5;
  const double row = (y + 0.5) * rows / picture.height - 0.5;
  const int left = static_cast<int>(std::floor(column));
  const int top = static_cast<int>(std::floor(row));
  const auto cell = [&](int cx, int cy) { return static_cast<double>(cells[PlaceOf(*this, cx, cy)]); };
  const double fx = column - left;
  const double fy = row - top;
  return static_cast<float>((cell(left, top) * (1 - fx) + cell(left + 1, top) * fx) * (1 - fy) +
                            (cell(left, top + 1) * (1 - fx) + cell(left + 1, top + 1) * fx) * fy);
}

}  // namespace afterscope

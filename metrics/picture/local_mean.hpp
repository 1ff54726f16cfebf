// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"

#include <array>
#include <vector>

namespace afterscope {

// How light the neighbourhood of every place in a picture is, in stored luma samples as a GL texture gives
// them: a small grid over the whole picture, linear between the centres of its cells.
struct LocalMean {
  int columns = 0;
  int rows = 0;
  std::vector<float> cells;

  // px: of the picture, (0, 0) the centre of its first pixel.
  float At(const Picture& picture, int x, int y) const;
};

// Cells along the picture's longer side (no more than it has pixels), the other in proportion.
inline constexpr int kLocalMeanCells = 120;
// Each cell is the mean of so many by so many samples, then smoothed along rows and columns by these weights
// (a normal curve with a standard deviation of two cells, cut at four, divided by its sum).
inline constexpr int kLocalMeanSamples = 4;
inline constexpr std::array<float, 5> kLocalMeanWeights{0.20416369F, 0.18017382F, 0.12383154F, 0.06628225F,
                                                        0.02763055F};

// Columns and rows for a picture of that size.
std::array<int, 2> LocalMeanGrid(int width, int height);
// The CPU twin of shaders/local_mean.frag and shaders/smooth.frag. Empty for an empty picture.
LocalMean LocalMeanOf(const Picture& picture);

}  // namespace afterscope

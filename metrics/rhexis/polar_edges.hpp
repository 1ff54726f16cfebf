// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/base/point.hpp"

#include <opencv2/core.hpp>

#include <vector>

namespace afterscope {

// A ring of the picture, unrolled: a row for each direction from the centre (equally spaced, from the x axis
// towards the y axis), a column for each radius first + i * step, square pixels.
struct PolarGrid {
  PointSq centre;
  int directions = 360;
  double first = 0;
  double step = 0.5;
  int count = 0;

  double Turn(int direction) const;  // radians
  double RadiusAt(double column) const { return first + step * column; }
  double ColumnAt(double radius) const { return (radius - first) / step; }
  PointSq At(int direction, double radius) const;
};

// How brightness and colour change along the radius. One image a kind of change (CV_32F, grid.directions rows
// by grid.count columns): steps and ridges, narrow and wide, in red, in green (which is as good as gray) and
// in red against green, all of logarithms, in units of what is usual in that ring, cut off at kMostChange.
struct PolarEdges {
  PolarGrid grid;
  std::vector<cv::Mat> changes;
  cv::Mat lightness;  // 0 to 255
  cv::Mat redness;    // log of red against green
};
inline constexpr float kMostChange = 4;
inline constexpr std::size_t kNarrowChanges = 6;  // come first

// Beyond the picture's edge, and beyond the radius `last` of a direction where that is given (one for each
// direction, or none), it goes on as it is there. width: of the narrow changes, square pixels. Asks for a
// picture that is not empty and a grid of at least 16 columns.
PolarEdges FindPolarEdges(const Picture& picture, const PolarGrid& grid, double width,
                          const std::vector<double>& last = {});

// The radius of a closed outline in each direction from the grid's centre, the farthest where it is met more
// than once; infinite in directions that do not meet it.
std::vector<double> RadiiOfOutline(const PolarGrid& grid, const std::vector<PointSq>& outline);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/angle.hpp"
#include "metrics/base/point.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// Measures of a closed polygon given by its corners in order, the last joined to the first. Instantiated for
// square pixels and millimetres; areas are in the square of that unit. Definitions: shoelace formula and its
// centroid. Degenerate: fewer than three corners have no area (0) and no centroid.

// Positive where the corners run from the x axis towards the y axis (clockwise to the eye, as y runs down).
template <class Space>
double SignedArea(const std::vector<Point<Space>>& corners);
template <class Space>
double Area(const std::vector<Point<Space>>& corners);
// With the closing edge.
template <class Space>
double Perimeter(const std::vector<Point<Space>>& corners);
// Of the enclosed area; empty where the area is zero (collinear or self-cancelling corners).
template <class Space>
std::optional<Point<Space>> Centroid(const std::vector<Point<Space>>& corners);
// True if two edges that are not neighbours touch or cross.
template <class Space>
bool SelfCrossing(const std::vector<Point<Space>>& corners);
// In order, without collinear corners; fewer than three where the corners are collinear.
template <class Space>
std::vector<Point<Space>> ConvexHull(std::vector<Point<Space>> points);

// Largest and smallest distance between two parallel lines that enclose the points (largest: between two
// points; smallest: least width of the hull). The angles give the direction along which each is measured,
// from the x axis towards the y axis. Zero for fewer than two points.
struct FeretDiameters {
  double largest = 0;
  double smallest = 0;
  Angle largest_along;
  Angle smallest_along;
};
template <class Space>
FeretDiameters MeasureFeret(const std::vector<Point<Space>>& points);

}  // namespace afterscope

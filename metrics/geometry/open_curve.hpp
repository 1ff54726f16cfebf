// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <vector>

namespace afterscope {

// A smooth curve with two ends through marked points in their order, square pixels. Each piece goes from the
// arc of the circle through it and the point before to that through it and the point after ("circle
// splines": Wenzel, Computer-Aided Design 1996, from memory), so that points of a circle give its arc. Where
// the points turn by a right angle or more, the curve has a corner. `per_piece` places for each piece, the
// marked points among them. Points that repeat their neighbour are left out; without two others: empty.
std::vector<PointSq> SmoothOpenCurve(const std::vector<PointSq>& points, int per_piece = 16);

// Along such places, straight from one to the next.
double LengthAlong(const std::vector<PointSq>& places);

}  // namespace afterscope

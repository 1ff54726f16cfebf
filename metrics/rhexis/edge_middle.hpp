// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/rhexis/polar_edges.hpp"

#include <vector>

namespace afterscope {

// An edge may show as several lines side by side: a bright one with a dark fringe on either side. A path
// along one of them is brought to the middle of all that lies within about `sd` columns of each other, as
// the directions about each show it together (mean shift over how much changes there). Returns by how many
// columns each direction's place is to be moved.
std::vector<double> ShiftsToMiddle(const PolarEdges& edges, const std::vector<int>& path, double sd);

}  // namespace afterscope

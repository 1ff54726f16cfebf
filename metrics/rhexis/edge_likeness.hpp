// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/rhexis/polar_edges.hpp"

#include <vector>

namespace afterscope {

// What an edge looks like in each direction: how much of each kind of change (PolarEdges::changes) it shows,
// signed. A row a direction, a column a kind (CV_32F); rows of length one, or 0 where nothing is told from
// chance. The same edge may be a bright line on one side of the eye and a dark one on the other.
struct EdgeLikeness {
  cv::Mat weights;
};

struct EdgePlace {
  int direction = 0;
  double column = 0;
};

// From places on the edge that are off by `sd` columns: from where most changes at all about each, so that
// places that all lie too far in do not make the flank of a line into an edge.
EdgeLikeness LearnAtClicks(const PolarEdges& edges, const std::vector<EdgePlace>& clicks, double sd);
// From a closed path (one column a direction), more from where it already looks like the edge.
EdgeLikeness LearnAlong(const PolarEdges& edges, const std::vector<int>& path, const cv::Mat& like);

// How much each place of the ring looks like the edge, from 0 to kMostLike: in units of what is usual there.
inline constexpr double kMostLike = 6;
cv::Mat LikenessOf(const PolarEdges& edges, const EdgeLikeness& edge);

}  // namespace afterscope

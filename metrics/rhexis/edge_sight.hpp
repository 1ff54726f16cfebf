// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/rhexis/edge_proposal.hpp"
#include "metrics/rhexis/polar_edges.hpp"

#include <vector>

namespace afterscope {

struct SeenEdge {
  double seen = 0;  // as in ProposedPoint
  EdgeSight sight = EdgeSight::kFaint;
};

// From there on an edge counts as seen.
inline constexpr double kLeastSight = 0.5;

// How well the edge is seen along a closed path (one column a direction), and why not where it is not. like:
// LikenessOf. last: the radius in each direction beyond which the iris hides it, or none.
std::vector<SeenEdge> SeenAlong(const PolarEdges& edges, const cv::Mat& like, const std::vector<int>& path,
                                const std::vector<double>& last);

}  // namespace afterscope

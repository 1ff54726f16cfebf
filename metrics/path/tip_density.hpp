// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <vector>

namespace afterscope {

// Where a tip was, and for how long.
struct PlaceInTime {
  OffsetSq at;
  double seconds = 0;
};

// The smallest region that holds `share` of the time (of highest density), by its closed outlines; what lies
// within an odd number of them is inside.
struct DensityRegion {
  double share = 0;
  std::vector<std::vector<OffsetSq>> outlines;
};

// A density from places, each spread as a round normal distribution of standard deviation `spread` (the
// kernel estimate of Rosenblatt 1956 and Parzen 1962, from memory), and its regions of highest density
// (Hyndman, Computing and Graphing Highest Density Regions, The American Statistician 1996, from memory) for
// the shares, in their order. `spread` is in the places' unit; regions are drawn on a grid of a quarter of
// it. The same spread for all maps makes them comparable; what is smaller than it can't be told. Empty
// without places that are finite and last longer than 0, with a spread that isn't above 0, or where places
// lie more than 100 spreads apart.
std::vector<DensityRegion> DensityRegions(const std::vector<PlaceInTime>& places, double spread,
                                          const std::vector<double>& shares);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace afterscope {

// Ranks 1 to n; equal values share the mean of their ranks.
std::vector<double> MidRanks(std::span<const double> values);

// The sizes of the groups of equal values, those of one value left out; in increasing order of value.
std::vector<std::size_t> TieSizes(std::span<const double> values);

// Sum of t^3 - t over those groups.
double TieCubes(std::span<const double> values);

std::vector<double> Sorted(std::span<const double> values);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/ranks.hpp"

#include <algorithm>
#include <numeric>

namespace afterscope {

std::vector<double> MidRanks(std::span<const double> values) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  std::vector<double> ranks(values.size());
  for (std::size_t first = 0; first < order.size();) {
    std::size_t last = first;
    while (last + 1 < order.size() && values[order[last + 1]] == values[order[first]]) ++last;
    const double shared = 1 + 0.5 * static_cast<double>(first + last);
    for (std::size_t i = first; i <= last; ++i) ranks[order[i]] = shared;
    first = last + 1;
  }
  return ranks;
}

std::vector<double> Sorted(std::span<const double> values) {
  std::vector<double> sorted(values.begin(), values.end());
  std::sort(sorted.begin(), sorted.end());
  return sorted;
}

std::vector<std::size_t> TieSizes(std::span<const double> values) {
  const std::vector<double> sorted = Sorted(values);
  std::vector<std::size_t> sizes;
  for (auto first = sorted.begin(); first != sorted.end();) {
    const auto last = std::upper_bound(first, sorted.end(), *first);
    if (last - first > 1) sizes.push_back(static_cast<std::size_t>(last - first));
    first = last;
  }
  return sizes;
}

double TieCubes(std::span<const double> values) {
  double sum = 0;
  for (const std::size_t size : TieSizes(values)) {
    const double t = static_cast<double>(size);
    sum += t * t * t - t;
  }
  return sum;
}

}  // namespace afterscope

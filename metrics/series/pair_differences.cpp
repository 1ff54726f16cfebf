// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/pair_differences.hpp"

#include "metrics/series/least_double.hpp"
#include "metrics/series/ranks.hpp"

#include <algorithm>
#include <cstddef>

namespace afterscope {
namespace {

constexpr double kRoundingShare = 1e-12;  // of the whole weight: what adding weights may lose

double TotalOf(const std::vector<PairGroups>& groups) {
  double total = 0;
  for (const PairGroups& g : groups) total += g.Total();
  return total;
}

}  // namespace

double PairGroups::UpTo(double difference) const {
  double pairs = 0;
  std::size_t j = 0;
  for (const double first : a) {
    while (j < b.size() && b[j] - first <= difference) ++j;
    pairs += static_cast<double>(j);
  }
  return weight * pairs;
}

PairGroups MakePairGroups(std::span<const double> a, std::span<const double> b, double weight) {
  return {Sorted(a), Sorted(b), weight};
}

double DifferenceAt(const std::vector<PairGroups>& groups, double weight) {
  double least = groups.front().b.front() - groups.front().a.back();
  double most = least;
  for (const PairGroups& g : groups) {
    least = std::min(least, g.b.front() - g.a.back());
    most = std::max(most, g.b.back() - g.a.front());
  }
  const double wanted =
      std::min(weight - kRoundingShare * TotalOf(groups), TotalOf(groups) * (1 - kRoundingShare));
  return LeastDouble(least, most, [&](double difference) {
    double sum = 0;
    for (const PairGroups& g : groups) sum += g.UpTo(difference);
    return sum >= wanted;
  });
}

double MedianDifference(const std::vector<PairGroups>& groups) {
  const double total = TotalOf(groups);
  const double lower = DifferenceAt(groups, total / 2);
  const double upper = DifferenceAt(groups, total / 2 + 4 * kRoundingShare * total);
  return lower + (upper - lower) / 2;
}

}  // namespace afterscope

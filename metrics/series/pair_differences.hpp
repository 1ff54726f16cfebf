// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <vector>

namespace afterscope {

// All differences b_j - a_i of two groups, each counted with `weight`; never formed, only counted.
struct PairGroups {
  std::vector<double> a;  // in increasing order, not empty
  std::vector<double> b;
  double weight = 1;

  double Total() const { return weight * static_cast<double>(a.size()) * static_cast<double>(b.size()); }
  double UpTo(double difference) const;  // weight of those <= difference
};

PairGroups MakePairGroups(std::span<const double> a, std::span<const double> b, double weight = 1);

// The least difference up to which at least `weight` of all groups' differences lie.
double DifferenceAt(const std::vector<PairGroups>& groups, double weight);

// The weighted median: the middle between the two where half the weight falls between them.
double MedianDifference(const std::vector<PairGroups>& groups);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"
#include "annotate/jobs/phantom/phantom_truth.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// One measured value beside the true one.
struct Comparison {
  TrueValue truth;
  std::optional<Estimate> measured;  // empty: not computed, and `why` says so
  std::string why;
  // Whether the limits hold the truth; limits of no width must be equal to a millionth. False where nothing
  // was measured.
  bool holds = false;
  double difference() const { return measured ? measured->value - truth.value : 0; }
};

// One for each true value, in their order; a true value without a finding of that name, step, operator, mark,
// trail and recording is told as not computed.
std::vector<Comparison> CompareWithTruth(const std::vector<TrueValue>& truth,
                                         const std::vector<Finding>& findings);

// The share of the values with limits whose limits hold the truth.
struct Coverage {
  int held = 0;
  int all = 0;
  double share() const { return all > 0 ? static_cast<double>(held) / all : 0; }
};
Coverage CoverageOf(const std::vector<Comparison>& comparisons);

// The finding, its step, operator or mark, in words for a table.
std::string NameOf(const Comparison& comparison);

}  // namespace afterscope

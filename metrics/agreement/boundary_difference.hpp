// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/agreement/timeline.hpp"
#include "metrics/base/rational.hpp"
#include "metrics/base/result.hpp"
#include "metrics/series/quantiles.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Two visits of one step, one of each reviewer, taken as the same.
struct MatchedVisit {
  int label = 0;
  std::size_t a = 0;  // which of reviewer A's joined visits
  std::size_t b = 0;
  double start_difference_s = 0;  // B less A
  double end_difference_s = 0;
  double overlap = 0;  // shared over either time
};

struct BoundaryDifference {
  std::vector<MatchedVisit> matched;  // in order of A
  std::vector<LabelledSpan> only_a;   // visits that the other reviewer has not
  std::vector<LabelledSpan> only_b;
  std::optional<Quartiles> start_size_s;  // of the absolute differences; none if nothing matches
  std::optional<Quartiles> end_size_s;
  std::optional<Quartiles> start_s;  // with sign: who is earlier
  std::optional<Quartiles> end_s;
  std::string method;
  std::vector<std::string> cautions;
};

// By how much the same boundaries differ. Visits of one label are paired, largest overlap first, each at most
// once, and only if they share time; ties go to the earlier one. Touching visits of one step count as one.
// Unpaired visits are listed, never given a difference. `tick`: seconds per tick.
Result<BoundaryDifference> BoundaryDifferenceOf(std::span<const LabelledSpan> a,
                                                std::span<const LabelledSpan> b, Rational tick);

}  // namespace afterscope

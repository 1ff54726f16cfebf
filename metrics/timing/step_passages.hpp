// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/series/quantiles.hpp"
#include "metrics/timing/timed_visit.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// From one step to the next one, over many operations.
struct StepPassage {
  std::string from;  // empty: the beginning
  std::string to;    // empty: the end
  int count = 0;
  double share = 0;                // of all passages from `from`, 0 to 1
  std::optional<Quartiles> gap_s;  // between the end of the one and the start of the other, seconds; none at
                                   // the beginning and the end; negative where visits overlap
};

// Between each operation's visits (JoinedVisits: a hand-over of the instruments is no passage). A visit that
// follows one of the same step counts as a passage from the step to itself. By `from`, then the most frequent
// first. No operations, or none with a visit: none.
std::vector<StepPassage> PassagesBetween(const std::vector<std::vector<TimedVisit>>& operations);

}  // namespace afterscope

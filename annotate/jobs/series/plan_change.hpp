// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_options.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What the reader changes of a plan's cumulative sums: the design of all of them, and further sums for times.
struct PlanChange {
  std::optional<double> acceptable, unacceptable;  // failure rates, 0 to 1
  std::optional<double> alpha, beta;               // risks of the two wrong decisions
  std::vector<std::string> time_limits;            // STEP=SECONDS, or whole=SECONDS: longer is a failure
};

// kBadCall for a time limit that can't be read and a design that makes no sense; the plan is then as it was.
Status ChangePlan(SeriesPlan& plan, const PlanChange& change);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <set>
#include <string>
#include <vector>

namespace afterscope {

// What is played of a case. Pure.
struct PlayPlan {
  std::vector<HalfOpen<FrameRef>> stretches;  // in order, apart from each other; empty: the whole case
  bool loop = false;                          // from the end of the last to the start of the first again

  bool WholeCaseOnce() const { return stretches.empty() && !loop; }
  friend bool operator==(const PlayPlan&, const PlayPlan&) = default;
};

// In order, empty ones left out, those that touch or overlap joined.
PlayPlan PlanOf(std::vector<HalfOpen<FrameRef>> stretches, bool loop);
// The visits of these steps; with no step named, of all. Of the first lane; an open visit lasts as EndOf
// says.
PlayPlan PlanOfSteps(const Review& review, const std::set<std::string>& steps, FrameRef end_of_case);

// Where playing goes on from a time of the case clock.
struct PlayPoint {
  double seconds = 0;
  bool jumped = false;  // over what is not played, or back to the start
  bool ended = false;   // nothing is left; `seconds` is where the last stretch ends
};
PlayPoint Follow(const PlayPlan& plan, const CaseClock& clock, double seconds);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/time.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace afterscope {

// A visit of a step, or a part of one in one pair of hands, on the case clock, in seconds.
struct TimedVisit {
  std::string step;
  std::string operator_code;
  HalfOpen<double> seconds;
  double frame = 0;  // usual length of a frame there: a boundary lies anywhere within that before its frame
  bool taken_over = false;
};

// A visit of a step as a whole.
struct JoinedVisit {
  std::string step;
  HalfOpen<double> seconds;
  std::vector<std::size_t> parts;  // places in the list that it was made of, in order of time
};

// The visits that these are parts of, in order of start. A hand-over of the instruments inside a step begins
// no visit: where a part ends as the next one of its step starts and they differ in nothing but who has the
// instruments, they are one. Every count of visits and of passages between steps goes by this.
std::vector<JoinedVisit> JoinedVisits(const std::vector<TimedVisit>& parts);

// Whether that operator has the instruments in any part of the visit.
bool IsOf(const JoinedVisit& visit, const std::vector<TimedVisit>& parts, const std::string& operator_code);

}  // namespace afterscope

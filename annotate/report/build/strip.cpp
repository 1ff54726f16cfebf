// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/report/build/parts.hpp"

#include <algorithm>

namespace afterscope {

void FillStrip(ReportBuild& build) {
  OperationStrip& strip = build.model.strip;
  for (const StepVisit& visit : build.in.review.visits) {
    if (visit.lane != 0) continue;
    const double start = build.clock.Seconds(visit.start);
    const double end = build.clock.Seconds(EndOf(build.in.review, visit, build.clock.end()));
    strip.visits.push_back({build.in.steps.NameOf(visit.step), StepOrder(build, visit.step), start,
                            std::max(start, end), visit.taken_over});
  }
  if (strip.visits.empty()) return;
  strip.start_seconds = strip.visits.front().start_seconds;
  strip.end_seconds = strip.visits.front().end_seconds;
  for (const StripVisit& visit : strip.visits) {
    strip.start_seconds = std::min(strip.start_seconds, visit.start_seconds);
    strip.end_seconds = std::max(strip.end_seconds, visit.end_seconds);
  }
  for (const Moment& moment : build.in.review.moments) {
    const double at = build.clock.Seconds(moment.at);
    const bool shown = moment.kind == MomentKind::kComplication || moment.kind == MomentKind::kTeachingPoint;
    if (shown && at >= strip.start_seconds && at <= strip.end_seconds) strip.moment_seconds.push_back(at);
  }
}

}  // namespace afterscope

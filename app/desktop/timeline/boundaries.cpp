// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/boundaries.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {

std::optional<FrameRef> NextBoundary(const Review& review, FrameRef from, int direction) {
  std::optional<FrameRef> best;
  const auto offer = [&](FrameRef at) {
    const bool beyond = direction > 0 ? from < at : at < from;
    if (beyond && (!best || (direction > 0 ? at < *best : *best < at))) best = at;
  };
  for (const StepVisit& visit : review.visits) {
    offer(visit.start);
    if (visit.end) offer(*visit.end);
  }
  return best;
}

std::optional<Boundary> NearestBoundary(const Review& review, const CaseClock& clock, FrameRef to) {
  std::optional<Boundary> best;
  double nearest = 0;
  int lane = 0;
  const auto offer = [&](FrameRef at, const StepVisit& visit, VisitEdge edge) {
    const double distance = std::abs(clock.Seconds(at) - clock.Seconds(to));
    const bool wins_tie = best && distance == nearest && edge == VisitEdge::kStart && visit.lane == lane;
    if (best && distance >= nearest && !wins_tie) return;
    nearest = distance;
    lane = visit.lane;
    best = Boundary{at, visit.id, edge};
  };
  for (const StepVisit& visit : review.visits) {
    offer(visit.start, visit, VisitEdge::kStart);
    if (visit.end) offer(*visit.end, visit, VisitEdge::kEnd);
  }
  return best;
}

FrameRef NudgedBoundary(const Tables& tables, FrameRef at, std::int64_t frames) {
  const auto i = static_cast<std::size_t>(at.recording);
  if (i >= tables.size() || !tables[i] || tables[i]->empty()) return at;
  const FrameTable& table = *tables[i];
  const bool at_end = !(at.pts < table.end());
  const std::int64_t place =
      (at_end ? table.size() : table.At(at.pts).value_or(FrameIndex{0}).value) + frames;
  if (place >= table.size()) return {at.recording, table.end()};
  return {at.recording, table[FrameIndex{std::max<std::int64_t>(0, place)}].pts};
}

}  // namespace afterscope

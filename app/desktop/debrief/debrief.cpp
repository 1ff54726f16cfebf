// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/debrief/debrief.hpp"

#include <algorithm>

namespace afterscope {

std::vector<const Moment*> DebriefMoments(const Review& review) {
  std::vector<const Moment*> moments;
  for (const Moment& moment : review.moments)
    if (moment.kind != MomentKind::kSettings && moment.kind != MomentKind::kCheck) moments.push_back(&moment);
  std::stable_sort(moments.begin(), moments.end(),
                   [](const Moment* a, const Moment* b) { return a->at < b->at; });
  return moments;
}

std::optional<std::size_t> PlaceOf(const std::vector<const Moment*>& moments,
                                   const std::optional<MomentId>& id) {
  if (!id) return std::nullopt;
  const auto found =
      std::find_if(moments.begin(), moments.end(), [&](const Moment* moment) { return moment->id == *id; });
  if (found == moments.end()) return std::nullopt;
  return static_cast<std::size_t>(found - moments.begin());
}

const Moment* NextMoment(const std::vector<const Moment*>& moments, const std::optional<MomentId>& from,
                         int direction) {
  if (moments.empty()) return nullptr;
  const auto place = PlaceOf(moments, from);
  if (!place) return direction > 0 ? moments.front() : moments.back();
  const std::size_t step = direction > 0 ? 1 : moments.size() - 1;
  return moments[(*place + step) % moments.size()];
}

const Moment* MomentBeside(const std::vector<const Moment*>& moments, FrameRef at, int direction) {
  const Moment* beside = nullptr;
  for (const Moment* moment : moments) {
    if (direction > 0 && at < moment->at) return moment;
    if (direction < 0 && moment->at < at) beside = moment;
  }
  return beside;
}

PlayPlan DebriefPlan(const Moment& moment, const CaseClock& clock) {
  const double at = clock.Seconds(moment.at);
  const FrameRef from = clock.At(at - kDebriefBefore);
  const FrameRef to = at + kDebriefAfter < clock.TotalSeconds() ? clock.At(at + kDebriefAfter) : clock.end();
  return PlanOf(std::vector{HalfOpen<FrameRef>{from, to}}, true);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/clip_schedule.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace afterscope {

ClipSchedule::ClipSchedule(const ClipPlan& plan, const std::vector<CaseClock>& clocks)
    : rate_(plan.rate.value()), first_{0} {
  assert(clocks.size() == plan.parts.size());
  for (std::size_t i = 0; i < plan.parts.size(); ++i) {
    const ClipPart& part = plan.parts[i];
    double length = part.seconds;
    Part timed;
    timed.fade = part.fade_seconds;
    if (part.kind != ClipPartKind::kTitle) timed.start = clocks[i].Seconds(part.start);
    if (part.kind == ClipPartKind::kStretch) {
      timed.speed = part.speed;
      length = (clocks[i].Seconds(part.end) - timed.start) / part.speed;
    }
    parts_.push_back(timed);
    first_.push_back(first_.back() + std::max<std::int64_t>(1, std::llround(length * rate_)));
  }
}

ClipInstant ClipSchedule::At(std::int64_t frame) const {
  const auto next = std::upper_bound(first_.begin(), first_.end(), frame);
  const auto part = static_cast<std::size_t>(next - first_.begin()) - 1;
  const double into = Seconds(frame - first_[part]);
  return {part, into, parts_[part].start + into * parts_[part].speed};
}

std::int64_t ClipSchedule::SeenBeginning(std::size_t part) const {
  const auto faded = static_cast<std::int64_t>(std::ceil(parts_[part].fade * rate_));
  return FirstFrame(part) + std::min(faded, FrameCount(part) / 2);
}

double Eased(double share) {
  const double t = std::clamp(share, 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

double FadeShare(double fade, double into, double length) {
  if (fade <= 0) return 1;
  return std::clamp(std::min(into, length - into) / std::min(fade, length / 2), 0.0, 1.0);
}

ClipView ViewBetween(const ClipView& from, const ClipView& to, double share) {
  return {from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share,
          from.zoom * std::pow(to.zoom / from.zoom, share)};
}

}  // namespace afterscope

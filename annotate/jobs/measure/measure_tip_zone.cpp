// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/prepared_trail.hpp"
#include "annotate/jobs/measure/tip_places.hpp"
#include "metrics/series/draws.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kLimbusSd = 0.015;  // of its radius: how well the middle of the grey transition is known
const char* const kEyeUnknown =
    "the eye's place is not known: follow the tip, or mark the limbus at the start and the end of the trail";

double SecondsBeyond(const std::vector<TipPlace>& places, double limit) {
  double seconds = 0;
  for (const TipPlace& place : places)
    if (place.in_limbus.Length() > limit) seconds += place.lasts;
  return seconds;
}

Measured TimeOutside(const MeasureContext& context, const TipInStep& part, double limit, bool followed) {
  const std::string method = fmt::format(
      "time of the step with the tip farther from the limbus' centre than {:.2g} of the limbus' radius, as "
      "seen; frame "
      "timestamps of the trail",
      limit);
  if (part.places.empty()) return NotMeasured("s", method, kEyeUnknown);
  const double px =
      followed ? kFollowedSharedSd : std::hypot(context.error.point_sd, context.error.shared_sd);
  const double off = kNormal95 * std::hypot(px / part.radius, kLimbusSd * limit);
  const double frame = context.FrameSeconds(part.places.front().at);
  Estimate seconds{SecondsBeyond(part.places, limit), SecondsBeyond(part.places, limit + off),
                   SecondsBeyond(part.places, std::max(0.0, limit - off))};
  if (seconds.low > 0) seconds.low = std::max(0.0, seconds.low - frame);
  if (seconds.high > 0) seconds.high += frame;
  Measured out{seconds, "s", method, {}};
  if (part.eye_unknown > 0.05)
    out.cautions.push_back(
        fmt::format("{:.1f} s of it are left out: the eye's place is not known there", part.eye_unknown));
  return out;
}

}  // namespace

void MeasureTipZone(const MeasureContext& context, std::vector<Finding>& out) {
  for (const Trail& trail : context.review.trails) {
    if (trail.hand == "other") continue;
    for (const TipInStep& part : TipInSteps(context, trail)) {
      const StepKind* step = context.steps.Find(part.step);
      if (!step || !(step->tip_within > 0)) continue;
      Origin origin;
      origin.step = part.step;
      origin.trail = &trail;
      out.push_back(MakeFinding(context, "path.outside_centre",
                                TimeOutside(context, part, step->tip_within, IsFollowed(trail)), origin));
    }
  }
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/prepared_trail.hpp"
#include "annotate/jobs/measure/tip_places.hpp"
#include "metrics/series/draws.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <vector>

namespace afterscope {
namespace {

const char* const kEyeUnknown =
    "the eye's place is not known: follow the tip, or mark the limbus at the start and the end of the trail";

double SecondsBeyond(const std::vector<TipPlace>& places, double limit) {
  double seconds = 0;
  for (const TipPlace& place : places)
    if (place.in_limbus.Length() > limit) seconds += place.lasts;
  return seconds;
}

int Crossings(const std::vector<TipPlace>& places, double limit) {
  int count = 0;
  for (std::size_t i = 1; i < places.size(); ++i)
    count += (places[i].in_limbus.Length() > limit) != (places[i - 1].in_limbus.Length() > limit);
  return count;
}

// The time as it would be after each source of error had struck once more.
std::vector<double> StruckAgain(const MeasureContext& context, const TipInStep& part, double limit,
                                bool followed, unsigned seed) {
  const double each = (followed ? kFollowedPointSd : context.error.point_sd) / part.radius;
  const double shared = std::hypot(part.error.centre, followed ? kFollowedSharedSd / part.radius : 0);
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  std::vector<double> out;
  for (int draw = std::clamp(context.options.simulations / 5, 200, 400); draw > 0; --draw) {
    const OffsetSq all{shared * normal(random), shared * normal(random)};
    const double edge = limit * (1 + part.error.radius * normal(random));
    double seconds = 0;
    for (const TipPlace& place : part.places) {
      const OffsetSq own{each * normal(random), each * normal(random)};
      if ((place.in_limbus + all + own).Length() > edge) seconds += place.lasts;
    }
    out.push_back(seconds);
  }
  return out;
}

// What striking again adds is what striking once has added: it is taken off (the basic bootstrap).
std::optional<Estimate> SecondsOutside(const MeasureContext& context, const TipInStep& part, double limit,
                                       bool followed, unsigned seed) {
  const double found = SecondsBeyond(part.places, limit);
  double all = 0;
  for (const TipPlace& place : part.places) all += place.lasts;
  const auto again = EstimateFromDraws(StruckAgain(context, part, limit, followed, seed));
  if (!again) return std::nullopt;
  const double value = std::clamp(2 * found - again->value, 0.0, all);
  // When between two frames an edge is crossed is not known: even over the interval.
  const double frame = part.places.front().lasts + part.places.back().lasts;
  const double by_frames = kNormal95 * frame * std::sqrt(Crossings(part.places, limit) / 12.0);
  // The wider side on both: with each its own, 91.1 of 100 limits held the truth; so, 94.8 (2000 simulated
  // trails).
  const double struck = std::max(again->high - again->value, again->value - again->low);
  const double off = std::hypot(struck, by_frames);
  return Estimate{value, std::max(0.0, value - off), std::min(all, value + off)};
}

Measured TimeOutside(const MeasureContext& context, const TipInStep& part, double limit, bool followed,
                     unsigned seed) {
  const std::string method = fmt::format(
      "time of the step with the tip farther from the limbus' centre than {:.2g} of the limbus' radius, as "
      "seen; frame timestamps of the trail; what errors of marking add is removed",
      limit);
  if (part.places.empty()) return NotMeasured("s", method, kEyeUnknown);
  Measured out{SecondsOutside(context, part, limit, followed, seed), "s", method, {}};
  if (!out.estimate) out.cautions.push_back("its places are beyond what can be computed");
  if (part.eye_unknown > 0.05)
    out.cautions.push_back(
        fmt::format("{:.1f} s of it are left out: the eye's place is not known there", part.eye_unknown));
  return out;
}

}  // namespace

void MeasureTipZone(const MeasureContext& context, std::vector<Finding>& out) {
  unsigned seed = 3000;
  for (const Trail& trail : context.review.trails) {
    if (trail.hand == "other") continue;
    for (const TipInStep& part : TipInSteps(context, trail)) {
      const StepKind* step = context.steps.Find(part.step);
      if (!step || !(step->tip_within > 0)) continue;
      Origin origin;
      origin.step = part.step;
      origin.trail = &trail;
      origin.operator_code = OtherOperator(context, trail);
      origin.marks = part.marks;
      origin.eye = part.eye;
      out.push_back(MakeFinding(
          context, "path.outside_centre",
          TimeOutside(context, part, step->tip_within, IsFollowed(trail), context.Seed(seed++)), origin));
    }
  }
}

}  // namespace afterscope

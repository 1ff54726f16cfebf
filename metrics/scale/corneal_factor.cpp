// SPDX-License-Identifier: Apache-2.0
#include "metrics/scale/corneal_factor.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kIndex = 1.336;
// Means of the eyes in which the factor was measured at operation; the standard deviations are those of adult
// populations, from memory.
constexpr double kPowerMean = 43.53, kPowerSd = 1.5, kPowerMeasuredSd = 0.25;
constexpr double kDepthMean = 3.28, kDepthSd = 0.35, kDepthMeasuredSd = 0.1;
// The front of an implanted lens behind that of the natural one: from memory of depths after operation
// (about 4.2 mm).
constexpr double kImplantDeeper = 0.9, kImplantDeeperSd = 0.3;
// Of the factor itself: the chamber is deepened or shallowed while operating.
constexpr double kOperatedSd = 0.02;

struct Depth {
  double mm;
  double sd;
};

PlaneFactor FactorAtDepth(Depth depth, const CorneaFacts& facts) {
  const double power = facts.power_d.value_or(kPowerMean);
  const double power_sd = facts.power_d ? kPowerMeasuredSd : kPowerSd;
  const double m = CornealFactor(depth.mm, power);
  const double by_depth = m * m * power / (1000 * kIndex) * depth.sd;
  const double by_power = m * m * depth.mm / (1000 * kIndex) * power_sd;
  return {m, std::sqrt(by_depth * by_depth + by_power * by_power + kOperatedSd * kOperatedSd)};
}

Depth ChamberDepth(const CorneaFacts& facts) {
  return facts.chamber_depth_mm ? Depth{*facts.chamber_depth_mm, kDepthMeasuredSd}
                                : Depth{kDepthMean, kDepthSd};
}

}  // namespace

double CornealFactor(double depth_mm, double power_d) { return 1 / (1 - depth_mm / 1000 * power_d / kIndex); }

PlaneFactor FactorAt(Plane plane, const CorneaFacts& facts) {
  const Depth chamber = ChamberDepth(facts);
  switch (plane) {
    case Plane::kCapsule:
      return FactorAtDepth(chamber, facts);
    case Plane::kLens:
      return FactorAtDepth({chamber.mm + kImplantDeeper, std::hypot(chamber.sd, kImplantDeeperSd)}, facts);
    case Plane::kCornea:
    case Plane::kSclera:
      break;
  }
  return {1, 0};
}

PlaneFactor RatioBetween(Plane target, Plane source, const CorneaFacts& facts) {
  const PlaneFactor from = FactorAt(source, facts), to = FactorAt(target, facts);
  const double ratio = from.value / to.value;
  if (from.sd == 0 || to.sd == 0) return {ratio, ratio * std::hypot(from.sd / from.value, to.sd / to.value)};
  if (source == target) return {1, 0};
  // Both behind the same cornea: only the distance between them is open.
  const double power = facts.power_d.value_or(kPowerMean);
  return {ratio, ratio * from.value * power / (1000 * kIndex) * kImplantDeeperSd};
}

PlaneFactor FactorOfTip(const CorneaFacts& facts) {
  const Depth chamber = ChamberDepth(facts);
  return FactorAtDepth({chamber.mm, std::hypot(chamber.sd, kTipDepthSd)}, facts);
}

}  // namespace afterscope

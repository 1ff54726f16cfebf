// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/plane.hpp"

#include <optional>

namespace afterscope {

// How much larger a length behind the cornea looks from outside: M = 1 / (1 - d F / n), d the depth behind
// the front of the cornea in metres, F the cornea's power in dioptres, n = 1.336 (paraxial refraction at one
// surface). Exactly 1 at depth 0. Asks for d F / n < 1.
double CornealFactor(double depth_mm, double power_d);

// What is known of this eye's cornea and chamber; what is empty is taken from the population.
struct CorneaFacts {
  std::optional<double> power_d;
  std::optional<double> chamber_depth_mm;  // front of the cornea to the front of the lens
};

// A factor as-seen length = value * true length, with its standard deviation.
struct PlaneFactor {
  double value = 1;
  double sd = 0;
};

// In the named plane. Cornea and sclera: 1. Capsule: at the chamber depth. Lens: at the front of the lens
// implant, which lies deeper. The spread holds that of the population where the eye was not measured, and
// that an operated chamber is not as deep as the measured one (a ring of 5.30 mm showed 115.9 +- 3.1 % in 40
// operated eyes whose mean power and depth give 1.1197).
PlaneFactor FactorAt(Plane plane, const CorneaFacts& facts);

// True length in `target` per true length in `source` of what looks equally long in both: M(source) /
// M(target).
PlaneFactor RatioBetween(Plane target, Plane source, const CorneaFacts& facts);

// How far a tip may lie from the capsule's plane, a standard deviation in mm: it works between 1.5 mm (mid
// chamber) and 6 mm (deep in the nucleus).
inline constexpr double kTipDepthSd = 1.0;

// Of an instrument tip, whose depth is not known: the capsule's factor, with a spread that reaches from the
// cornea's back to behind the lens plane.
PlaneFactor FactorOfTip(const CorneaFacts& facts);

}  // namespace afterscope

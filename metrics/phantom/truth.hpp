// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"
#include "metrics/phantom/eye_geometry.hpp"
#include "metrics/phantom/script.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope::phantom {

// Where an instrument truly is at one instant.
struct ToolTruth {
  Tool tool = Tool::kCannula;
  bool main_hand = true;
  bool in_eye = false;
  PointMm tip_mm;  // true, in the plane of the capsule, in the eye's own frame
  PointPx tip;     // as seen
  PointPx shaft;   // another point of its axis as seen, 4 mm (plane of the limbus) away from the tip
};

// What is true at one instant.
struct InstantTruth {
  double seconds = 0;
  Placement eye;        // of the eye's frame in the picture, zoom included
  double pupil_mm = 0;  // true diameter
  double blur_px = 0;
  std::optional<std::string> step;
  std::vector<ToolTruth> tools;
};

InstantTruth TruthAt(const Scene& scene, const Script& script, double seconds);

// An outline in the picture's own pixels, from millimetres at a depth with that magnification.
std::vector<PointPx> OutlinePx(const Scene& scene, const Placement& eye, const std::vector<PointMm>& outline,
                               double magnification);
PointPx PxOf(const Scene& scene, PointSq p);
PointSq SqOf(const Scene& scene, PointPx p);

PolarShape PupilShape(const Scene& scene, double pupil_mm);
// The optic's edge in the plane of the optic; its centre moves until it is in its place.
PolarShape OpticShape(const Scene& scene, const Script& script, double seconds);
// The free edge of the remaining capsule: the same at completion and on the optic, where only its depth
// differs.
const PolarShape& RhexisShape(const Scene& scene);

// Points on a wound's line as the blade leaves it, in the plane of the limbus: its two ends.
std::vector<PointMm> WoundEnds(const Scene& scene, bool main_incision);

// The path of the tip in the plane of the capsule, with all that lies above `cutoff_hz` taken away: |H|^2 of
// a Butterworth low pass of that order run forwards and backwards (no phase), so |H(f)| = 1 / (1 + (f /
// fc)^(2 order)). Sampled every `step_s` in [from, to].
std::vector<PointMm> FilteredPath(const Scene& scene, const ToolUse& use, double from_s, double to_s,
                                  double step_s, double cutoff_hz, int order);
double PathLength(const std::vector<PointMm>& points);

}  // namespace afterscope::phantom

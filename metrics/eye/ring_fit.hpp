// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/ring_view.hpp"

#include <optional>

namespace afterscope {

// An ellipse laid along a boundary, with what supports it.
struct RingFit {
  EllipseMap map;
  double strength = 0;  // RingStrength along it, 0 to kRingCap
  double visible = 0;   // share of the rays on which the boundary was found where the ellipse says
  double spread = 0;    // robust SD of those rays' boundaries about the ellipse, as a share of its radius
};

struct RingFitOptions {
  double width = 0.10;    // of the windows on both sides of the boundary, as a share of the radius
  double search = 0.25;   // how far from the start the boundary may lie, as a share of the radius
  double oval_sd = 0.06;  // prior of (long - short) / (long + short); mean 0
  int rays = 144;
  std::optional<EllipseMap> inner;  // a ring that lies within the one looked for
};

// Improves an ellipse that lies roughly along a boundary: on every ray the best step in the direction of
// colour that its sector agrees on, then a robust fit with a weak prior for round; repeated with a narrowing
// search. Never fails: what it found little support for says so in `visible` and `strength`.
RingFit FitRing(const cv::Mat& colors, const EllipseMap& start, RingKind kind, const RingFitOptions& options);

}  // namespace afterscope

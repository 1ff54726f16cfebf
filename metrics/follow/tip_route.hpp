// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_looks.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// One frame of a stretch: when, where the tip may be, and where a person set it.
struct RouteFrame {
  double seconds = 0;
  std::vector<TipCandidate> candidates;
  std::optional<TipCandidate> set_by_hand;
};

struct RouteOptions {
  double speed_mm_s = 12;     // usual speed of a tip
  double most_odds = 4;       // odds beyond, either way, count no more: neighbouring frames err alike
  double hidden_cost = 9;     // of a frame in which the tip is not seen
  double change_cost = 6;     // of going out of sight or coming back
  double turn_deg = 12;       // usual turn of the shaft from a frame to the next
  double look_weight = 14;    // cost of a likeness l of two neighbouring frames' looks: weight * (1 - l)
  double look_seconds = 0.1;  // frames farther apart are not compared
  double on_walk = 0.15;      // share of the costs of a move that a walk made: it was seen to move so
  double apart_mm = 0.3;      // candidates farther apart than that are different places
};

// The most likely place in a frame.
struct RoutePoint {
  std::optional<TipCandidate> at;  // none: not seen
  // How much costlier (negative logarithm of likelihood) the best route is that has the tip elsewhere, or out
  // of sight, in this frame: small where another story is as good, seen from both ends. Large for hand-set
  // frames.
  double margin = 0;
};

// The cheapest route through the frames' candidates, all frames at once, through the hand-set points.
// px_per_mm: of the picture, positive. Frames in order of time.
std::vector<RoutePoint> BestRoute(const std::vector<RouteFrame>& frames, double px_per_mm,
                                  const RouteOptions& options = {});

}  // namespace afterscope

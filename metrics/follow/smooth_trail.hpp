// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// A place to be smoothed; fixed ones stay where they are.
struct SmoothedPlace {
  double seconds = 0;
  PointPx at;
  bool fixed = false;
};

// Each run of neighbouring frames with a place (no place: a gap, never bridged) smoothed by a parabola over
// up to five frames on either side, fitted so that single places far off (beyond `noise_px`) hardly count.
// Frames in order of time; returns as many as came in.
std::vector<std::optional<SmoothedPlace>> SmoothTrail(const std::vector<std::optional<SmoothedPlace>>& places,
                                                      double noise_px);

}  // namespace afterscope

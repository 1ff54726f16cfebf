// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_looks.hpp"
#include "metrics/follow/tip_walk.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace afterscope {

// One frame that a walk goes over, in the eye's frame.
struct WalkFrame {
  double seconds = 0;
  const cv::Mat* still = nullptr;  // EyeView::StillOf; empty: not known
  std::vector<TipPose> sure;       // places at which the frame alone shows an end clearly, the clearest first
};

// Frames in the order of the walk, the first being the one that it starts from with `start`; where the end
// was on each of the others, none where it was lost.
std::vector<std::optional<TipWalk::Step>> WalkOver(const std::vector<WalkFrame>& frames, const TipPose& start,
                                                   double px_per_mm, const TipSight& sight);

enum class WalkDirection { kForth, kBack };
struct WalkKind {
  WalkDirection direction;
  std::size_t sight;  // in kTipSights
};
// A place to which a walk came, for TipCandidates: those within `same_px` of it get its likeness; without any
// `alone` is added.
void AddWalked(const TipCandidate& alone, double likeness, bool arrived, const WalkKind& walk, double same_px,
               std::vector<TipCandidate>& candidates);

}  // namespace afterscope

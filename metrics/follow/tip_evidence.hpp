// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_patch.hpp"

#include <opencv2/core.hpp>

#include <bit>
#include <cstdint>

namespace afterscope {

// What one frame says for a tip at a place.
struct TipEvidence {
  bool by_ground = false;  // found by what differs from the ground; else by its look alone
  // By the ground: how clearly a shaft ends there, 0 to 1. By its look: likeness to what was learnt, about 1
  // at the tip, 0 elsewhere. 0: the end was only followed there from other frames.
  double score = 0;
  double fit = 0;  // how well a hand-set look can be laid over it, 0 to 1
  // How much is seen on the shaft behind the place, and past it, gray levels: of what differs from the
  // ground; where the end was only followed there, of what differs from its surroundings.
  double behind = 0, beyond = 0;
  double goes_on = 0;    // GoesOn
  double off_pivot = 0;  // degrees by which the shaft misses the wound; 0 where that says nothing
  double seconds = 0;    // to the nearest point set by hand
  // How alike the end looked from frame to frame on its way there from the hand-set point before, and from
  // the one after, 0 to 1; 0: it was not followed there.
  double forth = 0, back = 0;
  // Which walks came there (a bit for each of kTipSights in either direction), and how many of those were
  // never lost and went on to where the hand set the point at their other end.
  std::uint8_t walked_by = 0;
  int arrived = 0;
  int Walks() const { return std::popcount(walked_by); }
};

// Mean of `differing` (SharpDifference) in the band of the shaft behind the tip, and past it. half_mm: how
// far to either side the blades of open forceps lie, of which it is then the mean.
struct ShaftEnd {
  double behind = 0, beyond = 0;
};
ShaftEnd ShaftEndAt(const cv::Mat& differing, const TipPose& pose, double px_per_mm, double half_mm = 0);

// How much of what is seen across the shaft behind a place goes on past it in the same line, 0 to 1: near 1
// at a place along a shaft, where no end is. freed: FreedOfLight, in the narrowest sight.
double GoesOn(const cv::Mat& freed, const TipPose& pose, double px_per_mm);

// Logarithm of the odds that the tip is there, by the frame alone.
double OddsOf(const TipEvidence& evidence);

}  // namespace afterscope

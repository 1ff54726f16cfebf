// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/find_shaft.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// The limbus taken as a circle, for want of better.
struct PivotEye {
  PointPx center;
  double radius_px = 0;
};

// An instrument in the eye goes through its wound, about which it turns: where that is in the eye's frame,
// from some of its poses there. It is taken to lie near the limbus, and where the shafts meet; one pose is
// enough for a guess. None without a pose whose tip lies within the limbus.
std::optional<PointPx> ShaftPivot(const std::vector<TipPose>& poses, const PivotEye& eye);

// A tip in the eye's frame, and how much each direction looks like its shaft.
struct ScoredTip {
  PointPx tip;
  ShaftScores scores;
};
// Where the wound may lie on the limbus by all of them together, seen from the eye's middle, the likeliest
// first with how likely it is (1: the best direction of every tip goes through it): the shafts of one
// instrument all go through it, which what lies about the tips does not. At most `most`, well apart. Empty
// without a tip well within the limbus, or if no direction looks like a shaft.
struct WoundGuess {
  Angle direction;
  double likely = 0;
};
std::vector<WoundGuess> GuessWounds(const std::vector<ScoredTip>& tips, const PivotEye& eye,
                                    std::size_t most);
// The direction of a shaft through a wound on the limbus; of a tip near it or outside: straight outwards.
Angle ShaftThrough(Angle wound, PointPx tip, const PivotEye& eye);

// By how many degrees a shaft misses the pivot; 0 where that says nothing: outside the limbus and close to
// the wound.
double DegreesOffPivot(const TipPose& pose, PointPx pivot, const PivotEye& eye);

}  // namespace afterscope

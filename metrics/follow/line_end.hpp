// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_patch.hpp"

#include <opencv2/core.hpp>

#include <optional>
#include <vector>

namespace afterscope {

// Where along its line a straight shaft ends, in mm from the pose's tip towards the hand: where the columns
// across the line stop looking like those behind the tip (the likeliest change from "shaft" to "no shaft").
// At most 3 mm past the tip and 3.2 mm behind it. None where the shaft is too faint there. freed:
// FreedOfLight, in the narrowest sight.
std::optional<double> LineEnd(const cv::Mat& freed, const TipPose& pose, double px_per_mm);

// The end of one instrument's line against the tip that the hand sets on it: the hand may mean the middle of
// a rounded end, or the point of a hook.
class LineEnds {
 public:
  // From LineEnd at each tip set by hand. Unknown (the usual state) after fewer than two ends, if a third of
  // the tips have none, or where they scatter: forceps, bent tips.
  void Learn(const std::vector<std::optional<double>>& at_hands);
  // A pose near the tip moved along its line to where the line ends; as it is if that is more than 0.4 mm
  // off; none if unknown or not seen.
  std::optional<TipPose> Moved(const cv::Mat& freed, const TipPose& near, double px_per_mm) const;

 private:
  std::optional<double> usual_mm_;
};

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/time.hpp"

#include <vector>

namespace afterscope {

// How a reviewer errs in marking grasps of the flap: of those that are, which share is overlooked; how many
// are marked that are none, a grasp that is. Common practice, no source.
struct GraspError {
  double overlooked = 0.05;
  double added = 0.05;
};

// What the instrument's trail says about the marked grasps. A doubt, never a count: the flap is taken where a
// reviewer saw it taken.
struct GraspDoubts {
  int outside = 0;  // marks at times at which the tip was out of the eye
  int moving = 0;   // marks at times at which the tip moved too fast to close its jaws on anything
  int without = 0;  // stays of the tip in the eye without a grasp
  int Marks() const { return outside + moving; }
};

// Seconds of the case clock, in order.
struct TipStays {
  std::vector<HalfOpen<double>> in_eye;      // from coming into the eye to leaving it
  std::vector<HalfOpen<double>> out_of_eye;  // as it is marked
};

// speeds: of the tip at each grasp, in the unit of `too_fast`, negative where it is not known; as many as
// grasps. A stay of less than `least_stay` seconds needs no grasp.
GraspDoubts DoubtGrasps(const std::vector<double>& grasps, const std::vector<double>& speeds,
                        const TipStays& stays, double too_fast, double least_stay = 1);

// How often the flap was taken again: grasps less one. The limits hold at least 95 % of what the reviewer may
// have overlooked and added (both counts taken as Poisson), and what is in doubt. None for no grasp.
Estimate CountRegrasps(int grasps, const GraspDoubts& doubts, const GraspError& error = {});

}  // namespace afterscope

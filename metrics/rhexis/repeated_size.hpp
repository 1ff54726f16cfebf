// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// One size as it was measured on one frame, with the standard deviation that marking gives it there.
struct SizeOnFrame {
  double value = 0;
  double sd = 0;
};

struct RepeatedSize {
  Estimate value;  // the mean, with limits
  // Two measures of the same thing on different frames differ by less than that in 95 of 100 cases: 1.96
  // root 2 s, s the standard deviation between the frames (Bland and Altman 1986, Lancet 327:307; from
  // memory), with limits from the chi-square distribution of s^2.
  Estimate repeatability;
};

// Pools one size over frames on which it was measured. How far a single measure is off: what marking gives,
// counting as four degrees of freedom, beside what the frames show. shared_relative_sd: of scale and plane,
// which all frames have in common. Empty for fewer than two frames or where all frames agree exactly and
// nothing is known of marking.
std::optional<RepeatedSize> PoolSizes(const std::vector<SizeOnFrame>& sizes, double shared_relative_sd);

}  // namespace afterscope

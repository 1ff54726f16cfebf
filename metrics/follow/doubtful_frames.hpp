// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/trail_follower.hpp"

#include <cstddef>

namespace afterscope {

// The frames that a person should look at, the least believed first, at least `apart` frames from each other
// and from points set by hand; only frames believed less than `least`.
std::vector<std::size_t> DoubtfulFrames(const std::vector<FollowedPoint>& points, double least,
                                        std::size_t most, std::size_t apart = 10);

// Share of the frames in which the tip's place is believed.
double BelievedShare(const std::vector<FollowedPoint>& points, double least);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"
#include "metrics/follow/trail_follower.hpp"

#include <functional>

namespace afterscope {

// The picture of a frame of the stretch, CV_8UC1; asked for in rising order, each frame once. May refer to
// memory that lives until the next call. Empty: the picture can't be had; the tip counts as not seen there.
using StretchPictures = std::function<cv::Mat(std::size_t index)>;

// Looks at every frame that is due. Error: kStopped; what was looked at until then stays, so that calling
// again goes on.
Status LookAtStretch(TrailFollower& follower, const StretchPictures& pictures, const StopQuery& stop,
                     const Progress& progress);

// The frames that a person should look at, the least believed first, at least `apart` frames from each other
// and from points set by hand; only frames believed less than `least`.
std::vector<std::size_t> DoubtfulFrames(const std::vector<FollowedPoint>& points, double least,
                                        std::size_t most, std::size_t apart = 10);

// Share of the frames in which the tip's place is believed.
double BelievedShare(const std::vector<FollowedPoint>& points, double least);

}  // namespace afterscope

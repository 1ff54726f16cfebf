// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/recording.hpp"

#include <functional>
#include <vector>

namespace afterscope {

// Pictures of an open recording for work that nobody waits for, each call in a helper of its own at low
// priority. A picture lies in the helper's memory and is valid during the visit; `visit` returns false to end
// it. Frames are named as the file names them (FrameRef::recording is 0): look for them in the table.

// For each of the times, in their order, a frame not after it at which decoding can start (the last one,
// where the container has an index), each such frame once. Quick. Left out is what can't be decoded alone.
Status VisitKeyFrames(const Recording& recording, const std::vector<Pts>& times,
                      const std::function<bool(const Picture&)>& visit, const StopQuery& stop);

// As Recording::Sweep, standing still while other pictures are waited for.
Status SweepBehind(const Recording& recording, Pts from, const std::function<bool(const Picture&)>& visit,
                   const StopQuery& stop);

}  // namespace afterscope

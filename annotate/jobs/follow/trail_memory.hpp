// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/time.hpp"
#include "metrics/follow/tip_looks.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// What was seen on the frames of a trail's stretches, so that following goes on where it was stopped, and a
// new hand-set point costs only the stretches beside it. A stretch is named by a digest of all that its
// frames were looked at with. Lies in the case's cache folder; losing it costs time only.
using SeenOnFrames = std::map<Pts, std::vector<TipCandidate>>;
using TrailMemory = std::map<std::string, SeenOnFrames>;

// Empty where the file is not there or can't be understood.
TrailMemory LoadTrailMemory(const std::string& path, FileSystem& files);
Status SaveTrailMemory(const std::string& path, const TrailMemory& memory, FileSystem& files);

}  // namespace afterscope

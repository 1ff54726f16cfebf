// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/clip/clip_source.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What the recordings of a clip carry beside pictures and sound, none of which comes into the clip: a
// sentence for each recording that carries something, and for each of a kind that can't be looked into. Only
// the beginning of its streams is looked through, so that it takes a moment even of a long recording.
std::vector<std::string> LeftBehind(const ClipPlan& plan, ClipSource& source);

}  // namespace afterscope

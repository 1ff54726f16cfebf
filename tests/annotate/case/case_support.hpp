// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"

#include <random>

namespace afterscope {

// A case of two recordings without files: 60 s and 30 s in ticks of 1/1000 s, 640 x 480 pixels, verified.
CaseRecord TwoRecordings();

inline FrameRef At(std::int64_t ticks, int recording = 0) { return {recording, Pts{ticks}}; }

// A group of 1 to 3 edits of any kind with random content; many are refused when applied.
EditGroup RandomGroup(std::mt19937& random);

}  // namespace afterscope

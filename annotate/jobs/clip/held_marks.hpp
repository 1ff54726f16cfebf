// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/time.hpp"

namespace afterscope {

// How long what was marked on one frame stays in a moving picture: on that frame alone nobody would see it.
inline constexpr double kHoldSeconds = 2;

// The review as a clip shows it at a frame: of each kind of outline and note the marks that were set last, at
// most kHoldSeconds of the recording before, lie on this frame, moved with the eye where the outlines around
// tell how it moved (OutlineTrack), else where they were. What is marked on the frame itself stays as it is.
// For drawing only; nothing is measured from it.
Review HeldMarks(const CaseRecord& record, const Review& review, FrameRef at);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/cover.hpp"
#include "annotate/case/review.hpp"
#include "annotate/clip/clip_schedule.hpp"
#include "annotate/overlay/frame_layer.hpp"
#include "metrics/picture/yuv_frame.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A case that a clip shows.
struct ClipCase {
  CaseRecord record;
  Review review;
  CaseClock clock;
};

// The caption at an instant; empty if there is none.
std::string CaptionAt(const ClipCase& shown, double case_seconds);

// The words over a frame of the clip.
FrameWords FrameWordsAt(const ClipPlan& plan, const ClipSchedule& schedule, const ClipInstant& instant,
                        const ClipCase& shown);

// One frame of the clip from the picture it shows: covered first, then placed and zoomed, drawn over, faded.
// A title's picture is empty. The preview and the export both come from here.
void DrawClipFrame(const ClipPlan& plan, const ClipSchedule& schedule, const ClipInstant& instant,
                   const ClipCase& shown, const Picture& picture, YuvFrame& frame);

}  // namespace afterscope

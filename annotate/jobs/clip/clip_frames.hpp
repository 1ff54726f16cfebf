// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/cover.hpp"
#include "annotate/case/review.hpp"
#include "annotate/clip/clip_schedule.hpp"
#include "annotate/clip/voice_take.hpp"
#include "annotate/overlay/frame_layer.hpp"
#include "metrics/picture/yuv_frame.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// A case that a clip shows.
struct ClipCase {
  CaseRecord record;
  Review review;
  CaseClock clock;
  std::vector<VoiceTake> takes;            // of the narration
  std::map<MarkId, std::string> findings;  // beside a rhexis outline (RhexisLines); empty: not asked for
};

// The caption at an instant of a part: the words of the take that is heard, else those of the case's
// narration; empty if there are none, or the part shows none.
std::string CaptionAt(const ClipPart& part, double part_seconds, const ClipInstant& instant,
                      const ClipCase& shown);

// What a view shows of a picture in a frame of that size: within the picture, as far as it reaches.
SeenPart SeenOf(const ClipView& view, const ShownPicture& shown, int frame_width, int frame_height);

// The words over a frame of the clip.
FrameWords FrameWordsAt(const ClipPlan& plan, const ClipSchedule& schedule, const ClipInstant& instant,
                        const ClipCase& shown);

// One frame of the clip from the picture it shows: covered first, then placed and zoomed, drawn over, faded.
// A title's picture is empty. The preview and the export both come from here.
void DrawClipFrame(const ClipPlan& plan, const ClipSchedule& schedule, const ClipInstant& instant,
                   const ClipCase& shown, const Picture& picture, YuvFrame& frame);

}  // namespace afterscope

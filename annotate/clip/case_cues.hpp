// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/clip/voice_take.hpp"
#include "annotate/exchange/timed_text.hpp"

#include <vector>

namespace afterscope {

// The steps of a whole case as chapters on the case clock: one cue a visit of lane 0, with the step's name.
std::vector<Cue> ChaptersOfCase(const Review& review, const StepList& steps, const CaseClock& clock);

// What was said about a whole case on the case clock: its narration, and the words of those takes that have
// some, each from the take's first frame on for as long as it lasts; in order of start.
std::vector<Cue> CaptionsOfCase(const Review& review, const std::vector<VoiceTake>& takes,
                                const CaseClock& clock);

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/case_cues.hpp"

#include "annotate/case/visits.hpp"

#include <algorithm>

namespace afterscope {

std::vector<Cue> ChaptersOfCase(const Review& review, const StepList& steps, const CaseClock& clock) {
  std::vector<Cue> cues;
  for (const StepVisit& visit : review.visits) {
    if (visit.lane != 0) continue;
    const double start = clock.Seconds(visit.start), end = clock.Seconds(EndOf(review, visit, clock.end()));
    if (start < end) cues.push_back({start, end, steps.NameOf(visit.step)});
  }
  return cues;
}

std::vector<Cue> CaptionsOfCase(const Review& review, const std::vector<VoiceTake>& takes,
                                const CaseClock& clock) {
  std::vector<Cue> cues;
  for (const Caption& caption : review.captions) {
    Cue cue{clock.Seconds(caption.start), std::nullopt, caption.text};
    if (caption.end) cue.end = clock.Seconds(*caption.end);
    cues.push_back(std::move(cue));
  }
  for (const VoiceTake& take : takes) {
    const double start = clock.Seconds(take.start());
    if (!take.words.empty()) cues.push_back({start, start + take.seconds, take.words});
  }
  std::stable_sort(cues.begin(), cues.end(), [](const Cue& a, const Cue& b) { return a.start < b.start; });
  return cues;
}

}  // namespace afterscope

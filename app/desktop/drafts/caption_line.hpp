// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/timeline/paint.hpp"
#include "app/desktop/timeline/strip.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What was said, as a line on a strip of the timeline.
struct CaptionRecord {
  float left = 0;
  float right = 0;
  std::string text;
};
struct DraftRecord {
  float x = 0;
  DraftId id;
};
struct CaptionLine {
  std::vector<CaptionRecord> captions;
  std::vector<DraftRecord> drafts;  // open ones, where they begin
};

// Whether there is anything to show; the rows are there only then.
bool HasCaptions(const Review& review);

// Pure. A caption without an end lasts until the next one, at most five seconds; captions in sight only.
CaptionLine LayOutCaptions(const Strip& strip, const CaseClock& clock, const Review& review);
// The words at that time; empty: nothing is said.
std::string CaptionAtX(const CaptionLine& line, float x);

// with_words: the words stand in the line; else it only shows where something is said.
void PaintCaptionLine(const Scene& scene, ImDrawList* list, const CaptionLine& line, RowSpan row,
                      bool with_words);

}  // namespace afterscope

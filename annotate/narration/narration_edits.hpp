// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/narration/spoken_drafts.hpp"

#include <functional>

namespace afterscope {

// What a narration needs to become captions and drafts.
struct NarrationInput {
  TimedText text;
  const NarrationRules* rules = nullptr;  // null: captions alone
  const StepList* list = nullptr;
  std::map<std::string, ValueRange> usual;
  double offset = 0;  // seconds that the narration's clock is behind the case's
};

struct NarrationIdSources {
  std::function<CaptionId()> caption;
  std::function<DraftId()> draft;
};

// One group: the narration replaces earlier captions and the drafts that are still open; accepted and refused
// ones stay. Words after the end of the case are left out (`left_out` counts the cues).
EditGroup NarrationEdits(const NarrationInput& input, const Review& review, const CaseClock& clock,
                         const NarrationIdSources& ids, int& left_out);

// Ranges of the settings by field, from ASSETS/settings.json.
Result<std::map<std::string, ValueRange>> LoadSettingRanges(const std::string& path,
                                                            FileSystem& files = RealFileSystem());

}  // namespace afterscope

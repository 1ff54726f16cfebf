// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/draft.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/exchange/timed_text.hpp"
#include "annotate/narration/rules.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What a narration proposes for the record, on its own clock.
struct SpokenDraft {
  DraftKind kind = DraftKind::kStep;
  double start = 0;                           // seconds
  std::optional<double> end;                  // of a step
  std::string key;                            // step, complication, check, preset or instrument
  std::map<std::string, std::string> fields;  // as of the moment that it would become
  std::string words;                          // what was said
  double confidence = 0;                      // 0 to 1, from the words alone
};

struct ValueRange {
  double low = 0, high = 0;
};

// The proposals of a narration in order of time. `usual` gives the range of a setting by its field: a number
// outside is proposed with little confidence. A complication, check or setting that is denied or told of
// another time is not proposed.
std::vector<SpokenDraft> DraftsFrom(const TimedText& narration, const NarrationRules& rules,
                                    const StepList& list, const std::map<std::string, ValueRange>& usual);

}  // namespace afterscope

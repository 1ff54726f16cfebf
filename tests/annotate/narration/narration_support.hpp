// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/draft.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/exchange/timed_text.hpp"
#include "annotate/narration/rules.hpp"
#include "metrics/agreement/timeline.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Something beside steps that a narration says, as someone who listened would note it: a field of settings
// (`key`) with its value, a complication or check by its key, a teaching point, a follow-up ("FROM-TO" in
// days, or no days).
struct ToldDraft {
  DraftKind kind = DraftKind::kTeachingPoint;
  std::string key;
  double at = 0;  // seconds
  std::string value;
};

// An invented narration of tests/data/narration with the steps as they were.
struct ToldCase {
  std::string name;
  StepList list;
  TimedText text;
  std::vector<LabelledSpan> truth;  // label: place in the list; milliseconds
  std::vector<ToldDraft> drafts;    // of NAME.drafts; empty where there is none
};

// Those whose file names begin with `prefix`, in order of their names.
std::vector<ToldCase> ToldCases(const std::string& prefix);

const std::vector<NarrationRules>& ShippedRules();
// The rules of its language.
const NarrationRules& RulesFor(const ToldCase& told);

}  // namespace afterscope

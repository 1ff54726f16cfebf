// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/step_list.hpp"
#include "annotate/exchange/timed_text.hpp"
#include "annotate/narration/rules.hpp"
#include "metrics/agreement/timeline.hpp"

#include <string>
#include <vector>

namespace afterscope {

// An invented narration of tests/data/narration with the steps as they were.
struct ToldCase {
  std::string name;
  StepList list;
  TimedText text;
  std::vector<LabelledSpan> truth;  // label: place in the list; milliseconds
};

// Those whose file names begin with `prefix`, in order of their names.
std::vector<ToldCase> ToldCases(const std::string& prefix);

const std::vector<NarrationRules>& ShippedRules();

}  // namespace afterscope

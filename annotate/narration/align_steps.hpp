// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/step_list.hpp"
#include "annotate/narration/clauses.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A step that the talk tells of, in a run of clauses.
struct SpokenStep {
  std::size_t step = 0;             // in the step list
  std::size_t first = 0, last = 0;  // clauses, last included
  double start = 0, end = 0;        // seconds
  double confidence = 0;            // 0 to 1, from the words alone
  std::vector<std::string> said;    // the words that suggested it
};

// Which step each clause belongs to, all clauses considered together: words count for a step, the usual order
// of the list counts against jumping about (add-ons and pauses between do not make it forgotten), and talk
// about another time ("last week", "when we put the lens") hardly counts. The best way through is found by
// dynamic programming (Viterbi 1967). Clauses in which nothing is going on belong to none. A step ends where
// the next one starts, where it is said to be done, or, not spoken of any more, half as long again after its
// start as it usually takes.
std::vector<SpokenStep> AlignSteps(const std::vector<Clause>& clauses, const NarrationRules& rules,
                                   const StepList& list);

}  // namespace afterscope

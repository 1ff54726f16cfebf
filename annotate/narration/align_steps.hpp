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
// of the list counts against jumping about (add-ons and pauses between do not make it forgotten), talk about
// another time ("last week") hardly counts, and talk of what might be ("if you had") counts for less. The
// best way through is found by dynamic programming (Viterbi 1967). A step is rarely left before half of its
// usual time, at the pace of the whole talk, and another one rarely begins within a sentence: so what is only
// spoken of does not cut it. Clauses in which nothing is going on belong to none. A step ends where the next
// one starts, where it is said to be done, or, not spoken of any more, a little later than its usual time;
// in silence it goes on for most of that. Few words are enough for a step that comes just where the usual
// order has it.
std::vector<SpokenStep> AlignSteps(const std::vector<Clause>& clauses, const NarrationRules& rules,
                                   const StepList& list);

}  // namespace afterscope

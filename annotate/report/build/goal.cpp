// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build/parts.hpp"

#include <algorithm>

namespace afterscope {

// Of the earlier cases in order of date: the newest goal of which nothing was said yet.
void FillEarlierGoal(ReportBuild& build) {
  std::vector<EarlierCase> earlier = build.in.earlier;
  std::stable_sort(earlier.begin(), earlier.end(),
                   [](const EarlierCase& a, const EarlierCase& b) { return a.date < b.date; });
  std::optional<EarlierGoal> open;
  for (const EarlierCase& before : earlier) {
    if (before.words.earlier_goal != GoalOutcome::kNotSaid) open.reset();
    if (!before.words.drill.empty())
      open = EarlierGoal{before.code, before.date, before.words.drill, GoalOutcome::kNotSaid};
  }
  const GoalOutcome outcome = build.in.review.assessment.earlier_goal;
  if (!open && outcome == GoalOutcome::kNotSaid) return;
  build.model.earlier_goal = open.value_or(EarlierGoal{});
  build.model.earlier_goal->outcome = outcome;
}

}  // namespace afterscope

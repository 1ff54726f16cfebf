// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build/parts.hpp"

#include <algorithm>

namespace afterscope {

namespace {

std::string StateKey(CheckState state) {
  switch (state) {
    case CheckState::kNotReviewed:
      return "check.not_reviewed";
    case CheckState::kSeenDone:
      return "check.seen_done";
    case CheckState::kSeenNotDone:
      return "check.seen_not_done";
    case CheckState::kNotVisible:
      return "check.not_visible";
  }
  return "check.not_reviewed";
}

CheckRow RowOf(const ReportBuild& build, const std::string& key, const std::string& name) {
  const auto found = build.in.review.checks.find(key);
  const CheckState state = found == build.in.review.checks.end() ? CheckState::kNotReviewed : found->second;
  return {name, state, build.Text(StateKey(state))};
}

}  // namespace

void FillChecks(ReportBuild& build) {
  const std::vector<CheckKind>& listed = build.in.steps.checks;
  for (const CheckKind& check : listed) build.model.checks.push_back(RowOf(build, check.key, check.name));
  // A state for a check that this list does not have is not lost.
  for (const auto& [key, state] : build.in.review.checks)
    if (std::none_of(listed.begin(), listed.end(),
                     [&, k = key](const CheckKind& check) { return check.key == k; }))
      build.model.checks.push_back(RowOf(build, key, build.NameOf(key)));
}

}  // namespace afterscope

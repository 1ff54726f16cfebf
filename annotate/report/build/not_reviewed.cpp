// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/report/build/parts.hpp"

#include <algorithm>

namespace afterscope {

namespace {

bool HasMark(const Review& review, MarkKind kind) {
  return std::any_of(review.marks.begin(), review.marks.end(),
                     [&](const Mark& mark) { return mark.kind == kind; });
}

std::vector<std::string> StepsWithoutTag(const ReportBuild& build) {
  std::vector<std::string> names;
  for (const StepKind& step : build.in.steps.steps) {
    const auto& visits = build.in.review.visits;
    const bool tagged = std::any_of(visits.begin(), visits.end(),
                                    [&](const StepVisit& visit) { return visit.step == step.key; });
    if (!tagged && !step.add_on) names.push_back(step.name);
  }
  return names;
}

std::vector<std::string> ChecksNotReviewed(const ReportBuild& build) {
  std::vector<std::string> names;
  for (const CheckRow& check : build.model.checks)
    if (check.state == CheckState::kNotReviewed) names.push_back(check.name);
  return names;
}

void AddSteps(const ReportBuild& build, std::vector<std::string>& out) {
  if (build.in.review.visits.empty()) return out.push_back(build.Text("not_reviewed.steps_none"));
  const std::vector<std::string> steps = StepsWithoutTag(build);
  if (!steps.empty()) out.push_back(build.Filled("not_reviewed.steps", JoinText(steps, ", ")));
}

}  // namespace

void FillNotReviewed(ReportBuild& build) {
  const Review& review = build.in.review;
  std::vector<std::string>& out = build.model.not_reviewed;
  AddSteps(build, out);
  const std::vector<std::string> checks = ChecksNotReviewed(build);
  if (!checks.empty()) out.push_back(build.Filled("not_reviewed.checks", JoinText(checks, ", ")));
  if (!HasMark(review, MarkKind::kRhexis)) out.push_back(build.Text("not_reviewed.rhexis"));
  if (review.trails.empty()) out.push_back(build.Text("not_reviewed.trail"));
  const bool scaled = !review.scales.empty() || HasMark(review, MarkKind::kLimbus);
  const bool marked = !review.marks.empty() || !review.trails.empty();
  if (marked && !scaled) out.push_back(build.Text("not_reviewed.scale"));
  if (marked && !build.in.record.orientation_confirmed) out.push_back(build.Text("not_reviewed.orientation"));
  if (build.in.record.difficulty.empty()) out.push_back(build.Text("not_reviewed.difficulty"));
  const Assessment& said = review.assessment;
  if (said.strengths.empty() && said.change.empty() && said.drill.empty())
    out.push_back(build.Text("not_reviewed.words"));
}

}  // namespace afterscope

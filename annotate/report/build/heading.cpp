// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build/parts.hpp"

namespace afterscope {

namespace {

std::string EyeKey(Eye eye) {
  if (eye == Eye::kRight) return "eye.right";
  return eye == Eye::kLeft ? "eye.left" : "eye.unknown";
}

std::optional<OwnShare> ShareOf(const ReportBuild& build) {
  OwnShare share;
  for (const Finding& finding : build.in.findings) {
    if (finding.name != "time.operator_total" || !finding.measured.estimate) continue;
    share.total_seconds += finding.measured.estimate->value;
    if (finding.operator_code == build.OwnCode()) share.own_seconds += finding.measured.estimate->value;
  }
  if (const Finding* count = build.Find("time.take_overs"); count && count->measured.estimate)
    share.take_overs = static_cast<int>(count->measured.estimate->value + 0.5);
  if (!(share.total_seconds > 0)) return std::nullopt;
  return share;
}

}  // namespace

void FillHeading(ReportBuild& build) {
  const CaseRecord& record = build.in.record;
  const Review& review = build.in.review;
  ReportHeading& heading = build.model.heading;
  heading.case_code = record.code;
  heading.date = record.date;
  heading.eye = build.Text(EyeKey(record.eye));
  heading.operation = record.operation.empty() ? build.in.steps.name : record.operation;
  heading.operator_code = record.operator_code;
  heading.operator_role = record.operator_role;
  heading.supervision_level = record.supervision_level;
  heading.reviewer_code = review.reviewer_code;
  heading.review_id = review.id.value;
  heading.review_kind = build.Text(review.kind == ReviewKind::kFormal ? "review.formal" : "review.formative");
  heading.is_signed = review.is_signed;
  for (const std::string& key : record.difficulty) heading.difficulty.push_back(build.NameOf(key));
  build.model.share = ShareOf(build);
  build.model.assessment = review.assessment;
}

}  // namespace afterscope

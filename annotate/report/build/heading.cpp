// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/signing.hpp"
#include "annotate/report/build/parts.hpp"

#include <cmath>

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
    share.take_overs = static_cast<int>(std::lround(count->measured.estimate->value));
  if (!(share.total_seconds > 0)) return std::nullopt;
  return share;
}

std::vector<std::string> TraitsOf(const ReportBuild& build, const SignedReview* kept) {
  const Review& review = build.in.review;
  std::vector<std::string> traits;
  if (review.is_self) traits.push_back(build.Text("review.self"));
  if (review.blinding == Blinding::kBlinded) traits.push_back(build.Text("review.blinded"));
  if (review.blinding == Blinding::kLifted) traits.push_back(build.Text("review.lifted"));
  if (kept && kept->recognised == Recognition::kNo) traits.push_back(build.Text("recognised.no"));
  if (kept && kept->recognised == Recognition::kPerhaps) traits.push_back(build.Text("recognised.perhaps"));
  if (kept && kept->recognised == Recognition::kYes) traits.push_back(build.Text("recognised.yes"));
  if (review.version > 1) traits.push_back(build.Filled("review.version", std::to_string(review.version)));
  return traits;
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
  const SignedReview* kept = FindSigned(record, review.id);
  heading.review_traits = TraitsOf(build, kept);
  if (kept) build.model.answers = kept->answers;
  for (const std::string& key : record.difficulty) heading.difficulty.push_back(build.NameOf(key));
  build.model.share = ShareOf(build);
  build.model.assessment = review.assessment;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/field_edits.hpp"

#include "annotate/case/text.hpp"

#include <algorithm>
#include <array>

namespace afterscope {
namespace {

bool DecidesOrientation(const std::string& field) {
  constexpr std::array kFields{"eye", "seat_clock_hour", "picture_mirrored", "picture_turned_deg"};
  return std::find(kFields.begin(), kFields.end(), field) != kFields.end();
}

std::string& Strength(Assessment& assessment, std::size_t i) {
  if (assessment.strengths.size() <= i) assessment.strengths.resize(i + 1);
  return assessment.strengths[i];
}

std::string& PartOf(Assessment& assessment, AssessmentPart part) {
  switch (part) {
    case AssessmentPart::kOwnView:
      return assessment.own_view;
    case AssessmentPart::kFirstStrength:
      return Strength(assessment, 0);
    case AssessmentPart::kSecondStrength:
      return Strength(assessment, 1);
    case AssessmentPart::kChange:
      return assessment.change;
    case AssessmentPart::kDrill:
      return assessment.drill;
    case AssessmentPart::kDrillDate:
      break;
  }
  return assessment.drill_date;
}

}  // namespace

Result<EditGroup> SetFieldOfCase(const CaseRecord& record, const std::string& field,
                                 const std::string& text) {
  EditGroup group{"Case field", {SetCaseField{field, text}}};
  if (record.orientation_confirmed && DecidesOrientation(field))
    group.edits.emplace_back(SetCaseField{"orientation_confirmed", ""});
  return group;
}

Result<EditGroup> ToggleDifficulty(const CaseRecord& record, const std::string& key) {
  std::vector<std::string> keys = record.difficulty;
  if (std::erase(keys, key) == 0) keys.push_back(key);
  return EditGroup{"Difficulty", {SetCaseField{"difficulty", JoinText(keys, ";")}}};
}

Consent ConsentFor(const CaseRecord& record, const std::string& purpose) {
  for (const Consent& consent : record.consent)
    if (consent.purpose == purpose) return consent;
  return {};
}

std::string ConsentText(const std::string& word, const std::string& delete_by) {
  return word.empty() || delete_by.empty() ? word : word + " until " + delete_by;
}

std::string AssessmentText(const Assessment& assessment, AssessmentPart part) {
  Assessment copy = assessment;
  return PartOf(copy, part);
}

Result<EditGroup> SetAssessmentText(const Review& review, AssessmentPart part, const std::string& text) {
  Assessment assessment = review.assessment;
  PartOf(assessment, part) = std::string(Trimmed(text));
  std::erase(assessment.strengths, std::string());
  return EditGroup{"Words of the report", {SetAssessment{assessment}}};
}

Result<EditGroup> SetEarlierGoal(const Review& review, GoalOutcome outcome) {
  Assessment assessment = review.assessment;
  assessment.earlier_goal = assessment.earlier_goal == outcome ? GoalOutcome::kNotSaid : outcome;
  return EditGroup{"What became of the goal", {SetAssessment{assessment}}};
}

}  // namespace afterscope

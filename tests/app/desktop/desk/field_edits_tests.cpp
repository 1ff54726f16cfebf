// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/case_fields.hpp"
#include "app/desktop/desk/field_edits.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

void Commit(const Result<EditGroup>& group, CaseRecord& record, Review& review) {
  REQUIRE(group);
  REQUIRE(ApplyEdits(*group, record, review));
}

}  // namespace

TEST_CASE("A confirmed orientation does not outlive what it was confirmed for", "[field_edits]") {
  CaseRecord record;
  Review review;
  for (const auto& [field, text] :
       {std::pair{"eye", "left"}, std::pair{"seat_clock_hour", "9"}, std::pair{"picture_mirrored", "yes"},
        std::pair{"picture_turned_deg", "90"}}) {
    Commit(SetFieldOfCase(record, "orientation_confirmed", "yes"), record, review);
    REQUIRE(record.orientation_confirmed);
    Commit(SetFieldOfCase(record, field, text), record, review);
    CHECK_FALSE(record.orientation_confirmed);
  }
  Commit(SetFieldOfCase(record, "orientation_confirmed", "yes"), record, review);
  Commit(SetFieldOfCase(record, "operator_code", "T-07"), record, review);
  CHECK(record.orientation_confirmed);
}

TEST_CASE("A difficulty is added and taken away", "[field_edits]") {
  CaseRecord record;
  Review review;
  Commit(ToggleDifficulty(record, "small_pupil"), record, review);
  Commit(ToggleDifficulty(record, "floppy_iris"), record, review);
  CHECK(record.difficulty == std::vector<std::string>{"small_pupil", "floppy_iris"});
  Commit(ToggleDifficulty(record, "small_pupil"), record, review);
  CHECK(record.difficulty == std::vector<std::string>{"floppy_iris"});
}

TEST_CASE("Consent is kept by purpose with its date", "[field_edits]") {
  CaseRecord record;
  Review review;
  Commit(SetFieldOfCase(record, "consent.local teaching", ConsentText("given", "2027-01-31")), record,
         review);
  CHECK(ConsentFor(record, "local teaching").given);
  CHECK(ConsentFor(record, "local teaching").delete_by == "2027-01-31");
  CHECK(ConsentFor(record, "publication").purpose.empty());
  const auto refused = SetFieldOfCase(record, "consent.review", ConsentText("given", "31 January"));
  REQUIRE(refused);
  CHECK_FALSE(ApplyEdits(*refused, record, review));
}

TEST_CASE("Words of the report are set one by one, and a drill's day must be a day", "[field_edits]") {
  CaseRecord record;
  Review review;
  Commit(SetAssessmentText(review, AssessmentPart::kOwnView, " I rushed the rhexis. "), record, review);
  Commit(SetAssessmentText(review, AssessmentPart::kFirstStrength, "Steady hands"), record, review);
  Commit(SetAssessmentText(review, AssessmentPart::kSecondStrength, "Clean incision"), record, review);
  Commit(SetAssessmentText(review, AssessmentPart::kDrillDate, "2026-12-01"), record, review);
  CHECK(review.assessment.own_view == "I rushed the rhexis.");
  CHECK(review.assessment.strengths == std::vector<std::string>{"Steady hands", "Clean incision"});
  CHECK(AssessmentText(review.assessment, AssessmentPart::kSecondStrength) == "Clean incision");
  Commit(SetAssessmentText(review, AssessmentPart::kFirstStrength, ""), record, review);
  CHECK(review.assessment.strengths == std::vector<std::string>{"Clean incision"});
  const auto refused = SetAssessmentText(review, AssessmentPart::kDrillDate, "next week");
  REQUIRE(refused);
  CHECK_FALSE(ApplyEdits(*refused, record, review));
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"

#include <string>

namespace afterscope {

// What the fields of the sheets do to case and review, as groups of edits to commit. Nothing here changes
// either.

// Sets a field from text. A confirmed orientation is taken back in the same group where the field decides how
// the picture lies: it was confirmed for another one.
Result<EditGroup> SetFieldOfCase(const CaseRecord& record, const std::string& field, const std::string& text);
// Adds a difficulty, or takes it away.
Result<EditGroup> ToggleDifficulty(const CaseRecord& record, const std::string& key);

// What is held for a purpose; an empty purpose where nothing is.
Consent ConsentFor(const CaseRecord& record, const std::string& purpose);
// As the field consent.PURPOSE is written; empty for an empty word.
std::string ConsentText(const std::string& word, const std::string& delete_by);

// The reviewer's words of page 1, one after another.
enum class AssessmentPart { kOwnView, kFirstStrength, kSecondStrength, kChange, kDrill, kDrillDate };
std::string AssessmentText(const Assessment& assessment, AssessmentPart part);
Result<EditGroup> SetAssessmentText(const Review& review, AssessmentPart part, const std::string& text);
// What became of the drill agreed before; the same again takes it back.
Result<EditGroup> SetEarlierGoal(const Review& review, GoalOutcome outcome);

}  // namespace afterscope

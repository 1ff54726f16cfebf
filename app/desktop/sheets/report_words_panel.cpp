// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/report_words_panel.hpp"

#include "annotate/case/words.hpp"
#include "app/desktop/desk/field_edits.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/widgets.hpp"

#include <array>
#include <utility>

namespace afterscope {
namespace {

struct WordsLine {
  AssessmentPart part;
  const char* words;
  const char* hint;
};

constexpr std::array kLines{
    WordsLine{AssessmentPart::kOwnView, "The trainee's own view", "in the trainee's words"},
    WordsLine{AssessmentPart::kFirstStrength, "A strength", ""},
    WordsLine{AssessmentPart::kSecondStrength, "Another strength", ""},
    WordsLine{AssessmentPart::kChange, "One thing to change", ""},
    WordsLine{AssessmentPart::kDrill, "One drill that was agreed", ""},
    WordsLine{AssessmentPart::kDrillDate, "To be done by", "YYYY-MM-DD"}};

// What became of the drill that the report before agreed.
void DrawEarlierGoal(const Scene& scene, EditQueue& edits) {
  SayQuietly(scene.look, "The drill agreed before was");
  ButtonRow row(scene.look);
  for (const GoalOutcome outcome : {GoalOutcome::kMet, GoalOutcome::kPartlyMet, GoalOutcome::kNotMet}) {
    const bool said = scene.view.review.assessment.earlier_goal == outcome;
    if (row.Add(std::string(WordOf(outcome)), "", said))
      edits.Push([outcome](CaseSession& session) { return SetEarlierGoal(session.review(), outcome); });
  }
}

}  // namespace

void DrawReportWords(FindingsState& state, const Scene& scene, EditQueue& edits) {
  const Look& look = scene.look;
  if (scene.view.folder.empty() && scene.view.record.recordings.empty()) return;
  if (KeyedButton(look, state.words_open ? "Fold the words away" : "Words for the report",
                  scene.keys.KeyFor("report words")))
    scene.wishes.actions.emplace_back("report words");
  if (!state.words_open) return;
  if (scene.view.read_only) return SayQuietly(look, "This case is open read-only.");
  for (const WordsLine& line : kLines) {
    if (std::exchange(state.words_wanted, false)) ImGui::SetKeyboardFocusHere();
    const TextField field{line.words, line.words, line.hint, true};
    const auto typed =
        DrawTextField(look, state.typed, field, AssessmentText(scene.view.review.assessment, line.part));
    if (typed)
      edits.Push([part = line.part, text = *typed](CaseSession& session) {
        return SetAssessmentText(session.review(), part, text);
      });
    if (line.part == AssessmentPart::kOwnView) DrawEarlierGoal(scene, edits);
  }
}

}  // namespace afterscope

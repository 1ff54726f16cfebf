// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/notes/note_parts.hpp"

#include <algorithm>

namespace afterscope {
namespace {

bool IsStepField(const std::string& key) { return key.starts_with("step_"); }

// The key of the step that the words name, by its name or the beginning of it; else the words themselves.
std::string StepNamed(const StepList& steps, const std::string& words) {
  if (words.empty()) return {};
  WordList names;
  for (const StepKind& step : steps.steps) {
    if (step.key == words || step.name == words) return step.key;
    names.items.push_back({step.key, step.name, {}, {}, {}, {}});
  }
  const auto found = names.Matching(words);
  return found.empty() ? words : found.front().key;
}

void Keep(NoteState& state, const Scene& scene, EditQueue& edits,
          const std::optional<WordList::Item>& chosen) {
  Moment moment;
  moment.key = chosen ? chosen->key : "other";
  moment.text = chosen ? chosen->name : state.text;
  moment.fields = state.fields;
  for (auto& [key, value] : moment.fields)
    if (IsStepField(key)) value = StepNamed(scene.steps, value);
  KeepNote(state, edits, moment);
}

// What is known already stands in the fields: the step that runs, and whose it is.
void FillIn(NoteState& state, const Scene& scene) {
  if (state.changed || !state.fields.empty()) return;
  state.fields["action"] = "";
  const StepVisit* running = RunningVisit(scene.view.review, state.at);
  if (running == nullptr) return;
  state.fields["step_arisen"] = scene.steps.NameOf(running->step);
  state.fields["step_recognised"] = state.fields["step_arisen"];
  state.fields["operator"] = OperatorOf(scene.view.record, *running);
}

}  // namespace

void DrawComplicationNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  const Look& look = scene.look;
  FillIn(state, scene);
  const float half = ImGui::GetContentRegionAvail().x / 2 - look.Px(6);
  NoteInput(state, "##which", "which one: type to find it, ↑ ↓", state.text, half);
  const auto chosen = ChooseFrom(state, look, state.complications.Matching(state.text));
  if (chosen && !chosen->definition.empty()) SayQuietly(look, chosen->definition + ".");
  if (!chosen && !state.text.empty()) SayQuietly(look, "Kept in your words: it is not in the list.");
  ImGui::NewLine();
  // Steps have longer names than codes.
  const float room = ImGui::GetContentRegionAvail().x;
  const float of_step = std::max(look.Px(210), room * 0.26F - look.Px(10));
  const float of_word = std::max(look.Px(110), room * 0.16F - look.Px(10));
  for (const WordList::Item& field : state.complication_fields.items) {
    const bool is_step = IsStepField(field.key);
    NamedInput(state, look, field.name, is_step ? "a step" : "", state.fields[field.key],
               is_step ? of_step : of_word);
  }
  ImGui::NewLine();
  if (enter && (chosen || !state.text.empty())) Keep(state, scene, edits, chosen);
}

}  // namespace afterscope

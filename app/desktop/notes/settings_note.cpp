// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/notes/note_parts.hpp"

#include <algorithm>

namespace afterscope {
namespace {

void Keep(NoteState& state, EditQueue& edits) {
  Moment moment;
  moment.key = PresetAndNumbers(state.settings, state.text).preset;
  moment.fields = state.fields;
  for (const SettingsForm::Choice& choice : state.settings.choices)
    moment.fields[choice.key] = CompletedWords(state.fields[choice.key], choice.words);
  moment.text = SettingsWords(state.settings, moment.key, moment.fields);
  if (moment.text.empty()) {
    state.kind.reset();
    return;
  }
  KeepNote(state, edits, moment);
}

// A preset that was noted before brings its settings with it, to be seen and changed before they are kept.
void FillFromPreset(NoteState& state, const Review& review, const std::string& preset) {
  const bool untouched = std::all_of(state.fields.begin(), state.fields.end(),
                                     [](const auto& field) { return field.second.empty(); });
  if (preset.empty() || preset == state.filled_from || state.changed || !untouched) return;
  state.filled_from = preset;
  for (const auto& [key, value] : SettingsOfPreset(review, preset)) state.fields[key] = value;
}

float WidthFor(const Look& look, const std::string& words) {
  return look.script->Size(look.fonts.small, words).x + look.Px(16);
}

}  // namespace

void DrawSettingsNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter) {
  const Look& look = scene.look;
  const SettingsForm& form = state.settings;
  NamedInput(state, look, "Preset, its numbers behind it", JoinText(form.Presets(), ", "), state.text,
             look.Px(190));
  const auto [preset, numbers] = PresetAndNumbers(form, state.text);
  FillFromPreset(state, scene.view.review, preset);
  for (const auto& [key, value] : numbers) state.fields[key] = value;
  for (const SettingsForm::Choice& choice : form.choices)
    NamedInput(state, look, choice.name, JoinText(choice.words, ", "), state.fields[choice.key],
               look.Px(choice.words.size() > 2 ? 300 : 110));
  std::string odd;
  const auto number = [&, &preset = preset](const WordList::Item& item) {
    const std::string name = item.ShortName() + (item.unit.empty() ? "" : ", " + item.unit);
    NamedInput(state, look, name, "", state.fields[item.key], std::max(look.Px(84), WidthFor(look, name)));
    if (odd.empty()) odd = OddSetting(form, preset, item, state.fields[item.key]);
  };
  ImGui::NewLine();
  for (const WordList::Item& item : form.numbers) number(item);
  ImGui::NewLine();
  SayQuietly(look, "Totals, read off at the end");
  for (const WordList::Item& item : form.totals) number(item);
  ImGui::NewLine();
  if (!odd.empty()) Say(look, "!  " + odd, look.colours.warning, look.fonts.small, true);
  if (enter) Keep(state, edits);
}

}  // namespace afterscope

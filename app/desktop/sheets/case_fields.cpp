// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/case_fields.hpp"

#include "annotate/case/case_fields.hpp"
#include "annotate/case/text.hpp"
#include "app/desktop/desk/field_edits.hpp"
#include "app/desktop/look/widgets.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace afterscope {
namespace {

struct FieldLine {
  const char* field;
  const char* words;
  const char* hint;
};

constexpr std::array kWho{FieldLine{"code", "Code", "never a name"},
                          FieldLine{"date", "Date", "YYYY-MM-DD"},
                          FieldLine{"operator_code", "Operator", "a code"},
                          FieldLine{"operator_role", "Role", "trainee, surgeon"},
                          FieldLine{"supervisor_code", "Supervisor", "a code"},
                          FieldLine{"supervision_level", "Supervision level", ""},
                          FieldLine{"operation", "Operation", ""}};
constexpr std::array kSizes{FieldLine{"optic_diameter_mm", "Lens optic, mm", ""},
                            FieldLine{"corneal_diameter_mm", "Cornea across, mm", "measured, white to white"},
                            FieldLine{"corneal_power_d", "Corneal power, D", ""},
                            FieldLine{"chamber_depth_mm", "Chamber depth, mm", "cornea to lens"}};

// One panel being drawn.
struct Panel {
  CasesState& state;
  const Scene& scene;
  EditQueue& edits;

  std::string Kept(const std::string& field) const {
    auto text = CaseFieldText(scene.view.record, field);
    return text ? std::move(text).value() : std::string();
  }
  void Set(const std::string& field, const std::string& text) const {
    edits.Push([field, text](CaseSession& session) { return SetFieldOfCase(session.record(), field, text); });
  }
  void Text(const FieldLine& line) const {
    if (const auto typed = DrawTextField(scene.look, state.typed, {line.field, line.words, line.hint, false},
                                         Kept(line.field)))
      Set(line.field, *typed);
  }
};

// Words side by side; pressing the one that holds takes it back where `may_be_empty`.
void DrawChoice(const Panel& panel, const std::string& field, const char* words,
                const std::vector<std::string>& values, bool may_be_empty = true) {
  FieldWords(panel.scene.look, words);
  const std::string kept = panel.Kept(field);
  ImGui::PushID(field.c_str());
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (i > 0) ImGui::SameLine();
    if (!WordButton(panel.scene.look, values[i], kept == values[i])) continue;
    if (kept != values[i] || may_be_empty) panel.Set(field, kept == values[i] ? std::string() : values[i]);
  }
  ImGui::PopID();
}

// A list that opens below its words; `held`: what is chosen.
template <class Press>
void DrawFoldedList(const Panel& panel, const char* words, const std::string& held,
                    const std::vector<WordList::Item>& items, const std::vector<std::string>& chosen,
                    const Press& press) {
  const Look& look = panel.scene.look;
  FieldWords(look, words);
  const std::string shown = Fitted(look, look.fonts.body, held.empty() ? "choose" : held,
                                   ImGui::GetContentRegionAvail().x - look.Px(16));
  ImGui::PushID(words);
  std::string& open = panel.state.open_list;
  if (WordButton(look, shown + "##choose", open == words)) open = open == words ? std::string() : words;
  if (open == words)
    for (const WordList::Item& item : items) {
      const bool is = std::find(chosen.begin(), chosen.end(), item.key) != chosen.end();
      const Row row = BeginRow(look, item.key.c_str(), look.Px(23), is);
      RowText(look, row, row.from.x + look.Px(26), item.name, look.colours.text, look.fonts.body,
              row.to.x - row.from.x - look.Px(30));
      if (is) RowText(look, row, row.from.x + look.Px(8), "×", look.colours.text, look.fonts.body);
      if (row.pressed) press(item, is);
    }
  ImGui::PopID();
}

std::string NameIn(const std::vector<WordList::Item>& items, const std::string& key) {
  const auto found =
      std::find_if(items.begin(), items.end(), [&](const auto& item) { return item.key == key; });
  return found == items.end() ? key : found->name;
}

void DrawDifficulty(const Panel& panel) {
  const std::vector<std::string>& chosen = panel.scene.view.record.difficulty;
  const auto& items = panel.state.difficulties.items;
  std::vector<std::string> names;
  names.reserve(chosen.size());
  for (const std::string& key : chosen) names.push_back(NameIn(items, key));
  DrawFoldedList(
      panel, "Difficulty", JoinText(names, ", "), items, chosen, [&](const WordList::Item& item, bool) {
        panel.edits.Push(
            [key = item.key](CaseSession& session) { return ToggleDifficulty(session.record(), key); });
      });
}

void DrawStepList(const Panel& panel) {
  std::vector<WordList::Item> items;
  for (const std::string& id : panel.state.step_lists) {
    std::string name = id;
    std::replace(name.begin(), name.end(), '_', ' ');
    items.push_back({id, name, {}, {}, {}, {}});
  }
  const std::string& id = panel.scene.steps.id;
  DrawFoldedList(panel, "Step list", NameIn(items, id), items, {id},
                 [&](const WordList::Item& item, bool is) {
                   if (!is) panel.Set("step_list", item.key);
                 });
}

void DrawConsent(const Panel& panel) {
  const Look& look = panel.scene.look;
  Heading(look, "Consent");
  for (const char* purpose : {"review", "local teaching", "publication"}) {
    const Consent held = ConsentFor(panel.scene.view.record, purpose);
    const std::string state = held.withdrawn         ? "withdrawn"
                              : held.given           ? "given"
                              : held.purpose.empty() ? ""
                                                     : "not given";
    const auto push = [&](const std::string& word, const std::string& until) {
      panel.Set(std::string("consent.") + purpose, ConsentText(word, until));
    };
    ImGui::PushID(purpose);
    Say(look, purpose, look.colours.quiet, look.fonts.small);
    for (const char* word : {"given", "not given", "withdrawn"}) {
      if (word != std::string("given")) ImGui::SameLine();
      if (WordButton(look, word, state == word)) push(state == word ? "" : word, held.delete_by);
    }
    const TextField until{std::string("consent until ") + purpose, "Delete by", "YYYY-MM-DD", false};
    if (!state.empty())
      if (const auto typed = DrawTextField(look, panel.state.typed, until, held.delete_by))
        push(state, *typed);
    ImGui::PopID();
  }
}

void DrawOrientation(const Panel& panel) {
  const Look& look = panel.scene.look;
  const CaseRecord& record = panel.scene.view.record;
  Heading(look, "How the picture lies");
  DrawChoice(panel, "eye", "Eye", {"right", "left"});
  panel.Text({"seat_clock_hour", "Surgeon's seat, o'clock", "12 above, as you face"});
  DrawChoice(panel, "picture_mirrored", "Picture mirrored", {"yes"});
  panel.Text({"picture_turned_deg", "Turned clockwise, °", "0"});
  panel.scene.wishes.side_labels = true;
  if (!record.seat_clock_hour || record.eye == Eye::kUnknown)
    return SayQuietly(look,
                      "Give the eye and the seat: the picture then says where nasal, temporal, superior and "
                      "inferior are, to be confirmed.");
  SayQuietly(look,
             record.orientation_confirmed
                 ? "Confirmed: the labels on the picture are right."
                 : "Look at the labels on the picture. Are nasal, temporal, superior and inferior there?");
  if (WordButton(look, record.orientation_confirmed ? "Take it back" : "The labels are right",
                 record.orientation_confirmed))
    panel.Set("orientation_confirmed", record.orientation_confirmed ? "" : "yes");
}

}  // namespace

void DrawCaseFields(CasesState& state, const Scene& scene, EditQueue& edits) {
  const Panel panel{state, scene, edits};
  if (std::exchange(state.fields_wanted, false)) ImGui::SetKeyboardFocusHere();
  if (!scene.view.hidden)
    for (const FieldLine& line : kWho) panel.Text(line);
  DrawStepList(panel);
  DrawDifficulty(panel);
  DrawOrientation(panel);
  Heading(scene.look, "Sizes");
  panel.Text({"planned_rhexis_mm", "Planned rhexis, mm", "diameter"});
  DrawChoice(panel, "planned_rhexis_kind", "", {"true", "as seen"}, false);
  for (const FieldLine& line : kSizes) panel.Text(line);
  DrawConsent(panel);
  if (!scene.view.hidden) DrawLaterFields(state.typed, state.later, scene, edits);
}

}  // namespace afterscope

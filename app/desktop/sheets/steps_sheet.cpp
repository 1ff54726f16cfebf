// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/case/words.hpp"
#include "annotate/store/spoken.hpp"
#include "app/desktop/desk/moment_edits.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/sheets/sheet.hpp"
#include "app/desktop/sheets/step_list_panel.hpp"
#include "app/desktop/sheets/step_totals.hpp"
#include "app/desktop/timeline/paint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace afterscope {
namespace {

std::string Spaced(std::string key) {
  std::replace(key.begin(), key.end(), '_', ' ');
  return key;
}

void RemoveMoment(EditQueue& edits, const MomentId& id) {
  edits.Push([id](CaseSession&) -> Result<EditGroup> {
    return EditGroup{"Remove moment", {Remove<MomentId>{id}}};
  });
}

void DrawStep(const Scene& scene, const StepKind& step, const StepTotal* total, bool running) {
  const Look& look = scene.look;
  const Palette& c = look.colours;
  const Row row = BeginRow(look, step.key.c_str(), look.Px(25), running);
  if (row.pressed) {
    scene.wishes.start_step = step.key;
    scene.wishes.start_lane = ImGui::GetIO().KeyAlt ? 1 : 0;
  }
  if (row.hovered)
    scene.wishes.under = fmt::format("Start {} at {}  –  with Alt: in the other hand's lane", step.name,
                                     ClockText(scene.Seconds(scene.player.playhead()), 2));
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float key_at = row.from.x + look.Px(11);
  list->AddRectFilled({row.from.x + look.Px(1), row.from.y + look.Px(4)},
                      {row.from.x + look.Px(5), row.to.y - look.Px(4)},
                      Ink(c.Band(TintOrder(scene.steps, step.key))), look.Px(2));
  if (!step.shortcut.empty())
    DrawKey(look, list, {key_at, row.from.y + look.Px(3)},
            ChordText(ParseChord(step.shortcut).value_or(KeyChord{step.shortcut})));
  std::string time;
  if (total != nullptr)
    time = (total->visits > 1 ? fmt::format("{} ×   ", total->visits) : "") +
           (total->runs ? "to the end" : LengthText(total->seconds));
  const float time_width = look.script->Size(look.fonts.small, time).x;
  const float name_at = row.from.x + look.Px(42);
  RowText(look, row, name_at, step.name, c.text, running ? look.fonts.strong : look.fonts.body,
          row.to.x - name_at - time_width - look.Px(14));
  RowTextRight(look, row, row.to.x - look.Px(5), time, running ? c.text : c.quiet, look.fonts.small);
}

void DrawSteps(const Scene& scene) {
  const auto totals = StepTotals(scene.view.record, scene.view.review, scene.clock);
  const StepVisit* running = RunningVisit(scene.view.review, scene.player.playhead());
  bool said_also = false;
  for (const StepKind& step : scene.steps.steps) {
    if (step.add_on && !said_also) {
      ThinRule(scene.look);
      said_also = true;
    }
    const auto total = totals.find(step.key);
    DrawStep(scene, step, total == totals.end() ? nullptr : &total->second,
             running != nullptr && running->step == step.key);
  }
}

// What can be done with the moment at the playhead, each with its key; `told`: its text stands above already.
void DrawMomentAtHand(const Scene& scene, EditQueue& edits, const Moment& moment, bool told) {
  const Look& look = scene.look;
  ImGui::Indent(look.Px(28));
  if (!moment.text.empty() && !told) Say(look, moment.text, look.colours.text, look.fonts.small, true);
  for (const auto& [field, value] : moment.fields)
    if (moment.kind == MomentKind::kComplication && !value.empty())
      SayQuietly(look, Spaced(field) + ": " + scene.steps.NameOf(value));
  if (scene.Editable()) {
    ImGui::PushID(moment.id.value.c_str());
    ButtonRow row(look);
    if (row.Add("Change", scene.keys.KeyFor("change moment"))) scene.wishes.change = moment.id;
    if (row.Add("Remove", scene.keys.KeyFor("remove moment"))) RemoveMoment(edits, moment.id);
    ImGui::PopID();
  }
  ImGui::Unindent(look.Px(28));
}

void DrawMoment(const Scene& scene, EditQueue& edits, const Moment& moment) {
  const Look& look = scene.look;
  const bool here = moment.at == scene.player.playhead();
  const Row row = BeginRow(look, moment.id.value.c_str(), look.Px(24), here);
  if (row.pressed) scene.wishes.jump = moment.at;
  if (row.pressed && SpokenOf(moment)) scene.wishes.hear = moment.id;
  std::string words = ShownText(moment);
  if (words.empty()) words = moment.key.empty() ? std::string(WordOf(moment.kind)) : moment.key;
  if (row.hovered) scene.wishes.under = words + "  –  Del removes it";
  if (row.hovered && scene.Editable() && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Delete), false))
    RemoveMoment(edits, moment.id);
  PaintMomentSign(look, ImGui::GetWindowDrawList(), moment.kind,
                  {row.from.x + look.Px(13), (row.from.y + row.to.y) / 2}, look.Px(12));
  RowText(look, row, row.from.x + look.Px(28), ClockText(scene.Seconds(moment.at), 1), look.colours.quiet,
          look.fonts.small);
  const float text_at = row.from.x + look.Px(88);
  const float room = row.to.x - text_at - look.Px(4);
  RowText(look, row, text_at, words, look.colours.text, look.fonts.body, room);
  if (here) DrawMomentAtHand(scene, edits, moment, look.script->Size(look.fonts.body, words).x <= room);
}

// The state of a check and where it was seen; pressing it gives it the next state, seen at the playhead.
void DrawCheck(const Scene& scene, EditQueue& edits, const CheckKind& check) {
  const Look& look = scene.look;
  const auto found = scene.view.review.checks.find(check.key);
  const CheckState state = found == scene.view.review.checks.end() ? CheckState::kNotReviewed : found->second;
  const Moment* pin = PinOfCheck(scene.view.review, check.key);
  const Row row = BeginRow(look, ("check " + check.key).c_str(), look.Px(24), false);
  std::string word(WordOf(state));
  if (pin != nullptr) word += "  " + ClockText(scene.Seconds(pin->at), 1);
  const float word_width = look.script->Size(look.fonts.small, word).x;
  RowText(look, row, row.from.x + look.Px(6), check.name, look.colours.text, look.fonts.body,
          row.to.x - row.from.x - word_width - look.Px(24));
  RowTextRight(look, row, row.to.x - look.Px(5), word,
               state == CheckState::kNotReviewed ? look.colours.quiet : look.colours.text, look.fonts.small);
  if (row.hovered)
    scene.wishes.under = "Press to change: seen done, seen not done (both here), not visible, not reviewed";
  if (!row.pressed || !scene.Editable()) return;
  const auto next = static_cast<CheckState>((static_cast<int>(state) + 1) % 4);
  edits.Push([check, next, at = scene.player.playhead()](CaseSession& session) {
    return SetCheckSeen(session.review(), check, next, at, [&session] { return session.NewMomentId(); });
  });
}

// A heading with the key that adds to what is under it.
void KeyedHeading(const Scene& scene, const std::string& words, const char* action, const char* does) {
  const Look& look = scene.look;
  const ImVec2 before = ImGui::GetCursorScreenPos();
  Heading(look, words);
  const std::string key = scene.keys.KeyFor(action);
  if (key.empty()) return;
  const ImVec2 at{before.x + look.script->Size(look.fonts.strong, words).x + look.Px(10),
                  before.y + look.Px(6)};
  const float width = DrawKey(look, ImGui::GetWindowDrawList(), at, key);
  look.script->Draw(ImGui::GetWindowDrawList(), look.fonts.small,
                    {at.x + width + look.Px(6), at.y + look.Px(1)}, Ink(look.colours.quiet), does);
}

void DrawListLine(StepsState& state, const Scene& scene) {
  const Look& look = scene.look;
  ImGui::Dummy({0, look.Px(3)});
  if (!scene.Editable()) return;
  ButtonRow row(look);
  if (row.Add("Own words", scene.keys.KeyFor("own step"))) scene.wishes.actions.emplace_back("own step");
  if (row.Add(state.editing ? "Done with the list" : "Change the list",
              scene.keys.KeyFor("change step list")))
    scene.wishes.actions.emplace_back("change step list");
}

// Other reviews of the case are not seen in this one: a case that looks empty may be tagged by somebody else.
void DrawOtherReviews(const Scene& scene) {
  const CaseView& view = scene.view;
  if (!view.review.visits.empty() || !view.review.moments.empty() || view.hidden) return;
  const auto others = std::count_if(view.reviews.begin(), view.reviews.end(),
                                    [&](const ReviewSummary& each) { return each.id != view.review.id; });
  if (others == 0) return;
  SayQuietly(scene.look, fmt::format("This review is empty so far. The case has {}: {} lists them.",
                                     others == 1 ? "another one" : fmt::format("{} others", others),
                                     scene.keys.KeyFor("sheet review")));
}

// This step in other cases, the moments one after another: only where there are any.
void DrawLookingBack(const Scene& scene) {
  const CaseView& view = scene.view;
  if (view.folder.empty() || (view.review.visits.empty() && view.review.moments.empty())) return;
  const Look& look = scene.look;
  Heading(look, "Looking back and beside");
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {look.Px(6), look.Px(4)});
  ButtonRow row(look);
  const auto offer = [&](const char* words, const char* action) {
    if (row.Add(words, scene.keys.KeyFor(action))) scene.wishes.actions.emplace_back(action);
  };
  if (!view.review.moments.empty()) offer("Debrief", "debrief");
  if (!view.review.visits.empty() && !view.hidden) {
    offer("This operator's earlier case", "earlier case");
    offer("Another case", "compare");
    offer("Many cases", "compare many");
  }
  ImGui::PopStyleVar();
}

}  // namespace

void DrawStepsSheet(StepsState& state, const Scene& scene, EditQueue& edits) {
  DrawListLine(state, scene);
  DrawOtherReviews(scene);
  if (state.editing && scene.Editable()) return DrawStepListPanel(state, scene);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, scene.look.Px(1)});
  DrawSteps(scene);
  if (!scene.view.review.moments.empty()) {
    KeyedHeading(scene, "Moments", "remark", "adds a remark");
    for (const Moment& moment : scene.view.review.moments) DrawMoment(scene, edits, moment);
  }
  if (!scene.steps.checks.empty()) {
    KeyedHeading(scene, "Checks", "check", "says what was seen");
    for (const CheckKind& check : scene.steps.checks) DrawCheck(scene, edits, check);
  }
  DrawLookingBack(scene);
  ImGui::PopStyleVar();
}

}  // namespace afterscope

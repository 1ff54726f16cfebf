// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/case/words.hpp"
#include "annotate/store/spoken.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/sheets/sheet.hpp"
#include "app/desktop/timeline/paint.hpp"

#include <fmt/format.h>

#include <map>

namespace afterscope {
namespace {

struct StepTotal {
  double seconds = 0;
  int visits = 0;
};

std::map<std::string, StepTotal> Totals(const Scene& scene) {
  std::map<std::string, StepTotal> totals;
  for (const StepVisit& visit : scene.view.review.visits) {
    if (visit.lane != 0) continue;
    StepTotal& total = totals[visit.step];
    total.seconds +=
        scene.Seconds(EndOf(scene.view.review, visit, scene.clock.end())) - scene.Seconds(visit.start);
    ++total.visits;
  }
  return totals;
}

void DrawStep(const Scene& scene, const StepKind& step, const StepTotal* total, bool running) {
  const Look& look = scene.look;
  const Palette& c = look.colours;
  const Row row = BeginRow(look, step.key.c_str(), look.Px(25), running);
  if (row.pressed) scene.wishes.start_step = step.key;
  if (row.hovered)
    scene.wishes.under =
        fmt::format("Start {} at {}", step.name, ClockText(scene.Seconds(scene.player.playhead()), 2));
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
    time = (total->visits > 1 ? fmt::format("{} ×   ", total->visits) : "") + LengthText(total->seconds);
  const float time_width = look.script->Size(look.fonts.small, time).x;
  const float name_at = row.from.x + look.Px(42);
  RowText(look, row, name_at, step.name, c.text, running ? look.fonts.strong : look.fonts.body,
          row.to.x - name_at - time_width - look.Px(14));
  RowTextRight(look, row, row.to.x - look.Px(5), time, running ? c.text : c.quiet, look.fonts.small);
}

void DrawSteps(const Scene& scene) {
  const auto totals = Totals(scene);
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

void DrawMoment(const Scene& scene, EditQueue& edits, const Moment& moment) {
  const Look& look = scene.look;
  const Row row = BeginRow(look, moment.id.value.c_str(), look.Px(24), moment.at == scene.player.playhead());
  if (row.pressed) scene.wishes.jump = moment.at;
  if (row.pressed && SpokenOf(moment)) scene.wishes.hear = moment.id;
  std::string words = ShownText(moment);
  if (words.empty()) words = moment.key.empty() ? std::string(WordOf(moment.kind)) : moment.key;
  if (row.hovered) scene.wishes.under = words + "  –  Del removes it";
  if (row.hovered && scene.Editable() && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Delete), false))
    edits.Push([id = moment.id](CaseSession&) -> Result<EditGroup> {
      return EditGroup{"Remove moment", {Remove<MomentId>{id}}};
    });
  PaintMomentSign(look, ImGui::GetWindowDrawList(), moment.kind,
                  {row.from.x + look.Px(13), (row.from.y + row.to.y) / 2}, look.Px(12));
  RowText(look, row, row.from.x + look.Px(28), ClockText(scene.Seconds(moment.at), 1), look.colours.quiet,
          look.fonts.small);
  const float text_at = row.from.x + look.Px(88);
  RowText(look, row, text_at, words, look.colours.text, look.fonts.body, row.to.x - text_at - look.Px(4));
}

Rgb StateColour(const Palette& c, CheckState state) {
  return state == CheckState::kNotReviewed ? c.faint : c.text;
}

void DrawCheck(const Scene& scene, EditQueue& edits, const CheckKind& check) {
  const Look& look = scene.look;
  const auto found = scene.view.review.checks.find(check.key);
  const CheckState state = found == scene.view.review.checks.end() ? CheckState::kNotReviewed : found->second;
  const Row row = BeginRow(look, ("check " + check.key).c_str(), look.Px(24), false);
  const std::string word(WordOf(state));
  const float word_width = look.script->Size(look.fonts.small, word).x;
  RowText(look, row, row.from.x + look.Px(6), check.name, look.colours.text, look.fonts.body,
          row.to.x - row.from.x - word_width - look.Px(24));
  RowTextRight(look, row, row.to.x - look.Px(5), word, StateColour(look.colours, state), look.fonts.small);
  if (row.hovered)
    scene.wishes.under = "Press to change: seen done, seen not done, not visible, not reviewed";
  if (!row.pressed || !scene.Editable()) return;
  const auto next = static_cast<CheckState>((static_cast<int>(state) + 1) % 4);
  edits.Push([key = check.key, next](CaseSession&) -> Result<EditGroup> {
    return EditGroup{"Check", {SetCheck{key, next}}};
  });
}

}  // namespace

void DrawStepsSheet(const Scene& scene, EditQueue& edits) {
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, scene.look.Px(1)});
  DrawSteps(scene);
  if (!scene.view.review.moments.empty()) {
    Heading(scene.look, "Moments");
    for (const Moment& moment : scene.view.review.moments) DrawMoment(scene, edits, moment);
  }
  if (!scene.steps.checks.empty()) {
    Heading(scene.look, "Checks");
    for (const CheckKind& check : scene.steps.checks) DrawCheck(scene, edits, check);
  }
  ImGui::PopStyleVar();
}

}  // namespace afterscope

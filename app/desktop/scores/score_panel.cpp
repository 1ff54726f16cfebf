// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/scores/score_desk.hpp"
#include "app/desktop/scores/score_walk.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

const Moment* FindMoment(const Review& review, const MomentId& id) {
  const auto found =
      std::find_if(review.moments.begin(), review.moments.end(), [&](const Moment& m) { return m.id == id; });
  return found == review.moments.end() ? nullptr : &*found;
}

// The key of a level; empty where it has none.
std::string KeyOfLevel(const ScoreItem& item, std::size_t level) {
  const int digit = DigitOfLevel(item, level);
  return digit > 0 ? fmt::format("{}", digit) : std::string();
}

// Where the words of an item's levels begin: after the values, where these are not the keys.
float WordsAt(const Look& look, const ScoreItem& item) {
  for (std::size_t i = 0; i < item.levels.size(); ++i)
    if (TextFrom(item.levels[i].value) != KeyOfLevel(item, i)) return look.Px(58);
  return look.Px(36);
}

}  // namespace

// Each value with its key, its name and what it means.
void ScoreDesk::DrawLevels(const Scene& scene, const ScoreItem& item, const Score* score) {
  const Look& look = scene.look;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float text_at = WordsAt(look, item);
  for (std::size_t i = 0; i < item.levels.size(); ++i) {
    const ScoreLevel& level = item.levels[i];
    const bool given = score != nullptr && score->value == level.value;
    const float room = std::max(look.Px(60), ImGui::GetContentRegionAvail().x - text_at - look.Px(6));
    const std::string words = level.description.empty() ? level.name
                              : level.name.empty()      ? level.description
                                                        : level.name + ": " + level.description;
    const float height =
        std::max(look.Px(25), look.script->Size(look.fonts.small, words, room).y + look.Px(8));
    const Row row = BeginRow(look, fmt::format("level {}", i).c_str(), height, given);
    if (row.pressed) Give(TextFrom(level.value), scene);
    const std::string key = KeyOfLevel(item, i);
    if (!key.empty()) DrawKey(look, list, {row.from.x + look.Px(8), row.from.y + look.Px(3)}, key);
    const float y = row.from.y + look.Px(4);
    if (const std::string value = TextFrom(level.value); value != key)
      look.script->Draw(list, given ? look.fonts.strong : look.fonts.body, {row.from.x + look.Px(36), y},
                        Ink(look.colours.text), value);
    look.script->Draw(list, look.fonts.small, {row.from.x + text_at, y + look.Px(1)},
                      Ink(given ? look.colours.text : look.colours.quiet), words, room);
  }
  if (!item.may_not_apply) return;
  const Row row = BeginRow(look, "not applicable", look.Px(25), score != nullptr && !score->value);
  if (row.pressed) Give("na", scene);
  DrawKey(look, list, {row.from.x + look.Px(8), row.from.y + look.Px(3)}, "0");
  RowText(look, row, row.from.x + text_at, "not applicable", look.colours.quiet, look.fonts.small);
}

void ScoreDesk::DrawEvidence(const Scene& scene, const ScoreItem& item, const Score* score) {
  const Look& look = scene.look;
  if (score != nullptr) {
    if (!score->remark.empty()) Say(look, score->remark, look.colours.text, look.fonts.small, true);
    for (const MomentId& id : score->moments) {
      const Moment* moment = FindMoment(scene.view.review, id);
      if (moment == nullptr) continue;
      const Row row = BeginRow(look, id.value.c_str(), look.Px(22), false);
      if (row.pressed) scene.wishes.jump = moment->at;
      const std::string words = moment->text.empty() ? moment->key : moment->text;
      RowText(look, row, row.from.x + look.Px(8), ClockText(scene.Seconds(moment->at), 1) + "   " + words,
              look.colours.text, look.fonts.small, row.to.x - row.from.x - look.Px(14));
    }
  }
  if (item.needs_moment && (score == nullptr || score->moments.empty()))
    SayQuietly(look, "A moment has to show this score.");
  if (!scene.Editable()) return;
  ButtonRow row(look);
  for (const auto& [words, action] :
       {std::pair{"Remark", "remark"}, std::pair{"This frame shows it", "end step"},
        std::pair{"Take back", "remove"}})
    if (row.Add(words, scene.keys.KeyFor(action))) scene.wishes.actions.emplace_back(action);
  ImGui::Dummy({0, look.Px(3)});
}

void ScoreDesk::DrawItem(const Scene& scene, std::size_t index, const std::vector<Score>& scores) {
  const Look& look = scene.look;
  const ScoreItem& item = sheet_->items[index];
  const Score* score = FindScore(scores, sheet_->id, item.key);
  const bool chosen = index == item_;
  ImGui::PushID(item.key.c_str());
  const Row row = BeginRow(look, "item", look.Px(25), chosen);
  if (chosen && scroll_) ImGui::SetScrollHereY(0.2F);
  if (row.pressed) Choose(index, scene);
  std::string given = ScoreText(score);
  if (score != nullptr && !score->remark.empty()) given = "remark   " + given;
  const float width = look.script->Size(look.fonts.body, given).x;
  RowText(look, row, row.from.x + look.Px(6), item.name, look.colours.text,
          chosen ? look.fonts.strong : look.fonts.body, row.to.x - row.from.x - width - look.Px(22));
  RowTextRight(look, row, row.to.x - look.Px(6), given, score ? look.colours.text : look.colours.quiet,
               look.fonts.body);
  if (chosen) {
    DrawLevels(scene, item, score);
    DrawEvidence(scene, item, score);
  }
  ImGui::PopID();
}

void ScoreDesk::DrawSums(const Scene& scene, const std::vector<Score>& scores) {
  const Look& look = scene.look;
  ThinRule(look);
  for (const ScoreGroup& group : sheet_->groups)
    SayQuietly(look, group.name + ": " + SumWords(SumScores(*sheet_, scores, group.key)));
  Say(look, SumWords(SumScores(*sheet_, scores)), look.colours.text, look.fonts.body, true);
  if (scores.empty()) return;
  for (const std::string& sentence : UnfinishedScores(*sheet_, scores, scene.view.review))
    SayQuietly(look, sentence);
  SayQuietly(look, "Scores support a supervisor's judgement; they never replace it.");
}

void ScoreDesk::Draw(const Scene& scene) {
  const Look& look = scene.look;
  if (scene.view.folder.empty())
    return SayQuietly(look, "Scores belong to a case: note or tag something first, then it is one.");
  if (!sheet_) return SayQuietly(look, "The score sheet is being read …");
  {
    ButtonRow row(look);
    if (row.Add("Another score sheet", scene.keys.KeyFor("score sheet")))
      scene.wishes.actions.emplace_back("score sheet");
  }
  Heading(look, sheet_->name);
  if (!sheet_->about.empty()) SayQuietly(look, sheet_->about);
  if (scene.view.review.is_signed) SayQuietly(look, "This review is signed; its scores stay as they are.");
  const std::vector<Score>& scores = scene.view.review.scores;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {look.Px(4), look.Px(1)});
  std::string group;
  for (std::size_t i = 0; i < sheet_->items.size(); ++i) {
    if (sheet_->items[i].group != group) {
      group = sheet_->items[i].group;
      for (const ScoreGroup& each : sheet_->groups)
        if (each.key == group) Heading(look, each.name);
    }
    DrawItem(scene, i, scores);
  }
  scroll_ = false;
  ImGui::PopStyleVar();
  DrawSums(scene, scores);
}

}  // namespace afterscope

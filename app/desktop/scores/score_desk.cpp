// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/scores/score_desk.hpp"

#include "annotate/store/score_sheet_file.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/scores/score_walk.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

// The forms that come with the program and those that lie with the case.
std::vector<std::string> SheetIds(const std::string& folder) {
  std::vector<std::string> ids = ScoreSheetIds(AssetsFolder());
  if (const auto own = RealFileSystem().List(folder + "/score_sheets"))
    for (const std::string& name : *own)
      if (name.ends_with(".json")) ids.push_back(name.substr(0, name.size() - 5));
  std::sort(ids.begin(), ids.end());
  ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
  return ids;
}

// What has to be there before scores can name it: the form with the case, and the review.
Status Prepare(CaseSession& session, const ScoreSheet& sheet) {
  if (session.review().is_signed)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Review '{}' is signed and can't be changed.", session.review().id.value)};
  AFTERSCOPE_TRY(KeepScoreSheet(sheet, session.folder()));
  return session.BeginReview();
}

}  // namespace

void ScoreDesk::LoadSheet(const std::string& id) {
  calls_.jobs.Start(
      "",
      [id, folder = folder_](const Progress&, const StopQuery&) {
        return FindScoreSheet(id, folder, AssetsFolder());
      },
      [this, folder = folder_](Result<ScoreSheet> sheet) {
        if (folder != folder_) return;
        if (!sheet.ok()) return calls_.say(sheet.error().message, true);
        sheet_ = std::move(*sheet);
        item_ = 0;
        scroll_ = false;
      });
}

void ScoreDesk::LoadSheets(const Scene& scene) {
  looked_ = true;
  const std::vector<Score>& scores = scene.view.review.scores;
  calls_.jobs.Start(
      "", [folder = folder_](const Progress&, const StopQuery&) { return SheetIds(folder); },
      [this, folder = folder_,
       used = scores.empty() ? std::string() : scores.front().id.sheet](std::vector<std::string> ids) {
        if (folder != folder_) return;
        ids_ = std::move(ids);
        if (!ids_.empty()) LoadSheet(used.empty() ? ids_.back() : used);
      });
}

void ScoreDesk::Follow(const Scene& scene, bool shown) {
  if (scene.view.folder != folder_) {
    folder_ = scene.view.folder;
    looked_ = false;
    sheet_.reset();
    ids_.clear();
  }
  if (shown && !looked_) LoadSheets(scene);
}

void ScoreDesk::NextSheet() {
  if (ids_.empty()) return;
  const auto at = std::find(ids_.begin(), ids_.end(), sheet_ ? sheet_->id : "");
  LoadSheet(at == ids_.end() || at + 1 == ids_.end() ? ids_.front() : *(at + 1));
}

void ScoreDesk::Take(const ScoreSheet& sheet) {
  if (folder_.empty())
    return calls_.say("A score sheet is used on a case: note or tag something first, then it is one.", true);
  calls_.jobs.Start(
      "",
      [sheet, folder = folder_](const Progress&, const StopQuery&) { return KeepScoreSheet(sheet, folder); },
      [this, sheet](const Status& kept) {
        if (!kept.ok()) return calls_.say(kept.error().message, true);
        sheet_ = sheet;
        item_ = 0;
        if (std::find(ids_.begin(), ids_.end(), sheet.id) == ids_.end()) ids_.push_back(sheet.id);
        looked_ = true;
        calls_.show(SheetKind::kScores);
      });
}

const ScoreItem* ScoreDesk::Item() const {
  return sheet_ && item_ < sheet_->items.size() ? &sheet_->items[item_] : nullptr;
}

// The picture goes to the item's step, unless something is playing.
void ScoreDesk::Choose(std::size_t index, const Scene& scene) {
  item_ = index;
  scroll_ = true;
  const ScoreItem* item = Item();
  if (item == nullptr || scene.player.playing()) return;
  if (const auto step = StepOfItem(scene.view.review, *item, scene.player.playhead())) calls_.jump(*step);
}

void ScoreDesk::Keep(const Score& score) {
  calls_.push([sheet = *sheet_, score](CaseSession& session) -> Result<EditGroup> {
    AFTERSCOPE_TRY(Prepare(session, sheet));
    return EditGroup{"Score", {Put<Score>{score}}};
  });
}

void ScoreDesk::Give(const std::string& value, const Scene& scene) {
  const ScoreItem* item = Item();
  if (item == nullptr) return;
  auto score = MakeScore(*sheet_, item->key, value);
  if (!score.ok()) return calls_.say(score.error().message, true);
  const std::vector<Score>& scores = scene.view.review.scores;
  if (const Score* before = FindScore(scores, sheet_->id, item->key)) {
    score->remark = before->remark;
    score->moments = before->moments;
  }
  Keep(*score);
  if (item_ + 1 < sheet_->items.size()) Choose(item_ + 1, scene);
}

void ScoreDesk::TakeBack(const Scene& scene) {
  const ScoreItem* item = Item();
  if (item == nullptr) return;
  const std::vector<Score>& scores = scene.view.review.scores;
  if (FindScore(scores, sheet_->id, item->key) == nullptr) return;
  calls_.push([id = ScoreId{sheet_->id, item->key}](CaseSession&) -> Result<EditGroup> {
    return EditGroup{"Take a score back", {Remove<ScoreId>{id}}};
  });
}

void ScoreDesk::AskRemark(const Scene& scene) {
  const ScoreItem* item = Item();
  if (item == nullptr) return;
  const std::vector<Score>& scores = scene.view.review.scores;
  const Score* score = FindScore(scores, sheet_->id, item->key);
  if (score == nullptr) return calls_.say("Give the item a score first; a remark goes with it.", true);
  calls_.ask("Remark on " + item->name, "what was seen; empty: none", score->remark,
             [this, changed = *score](const std::string& words) mutable {
               changed.remark = words;
               if (sheet_ && sheet_->id == changed.id.sheet) Keep(changed);
             });
}

// The moment on this frame shows it; where there is none, one is noted here, called like the item.
void ScoreDesk::TieMoment(const Scene& scene) {
  const ScoreItem* item = Item();
  if (item == nullptr) return;
  const std::vector<Score>& scores = scene.view.review.scores;
  const Score* score = FindScore(scores, sheet_->id, item->key);
  if (score == nullptr) return calls_.say("Give the item a score first; a moment shows why.", true);
  const FrameRef at = scene.player.playhead();
  if (const Moment* here = MomentOnFrame(scene.view.review, at)) return Keep(WithMoment(*score, here->id));
  calls_.push(
      [at, words = item->name, sheet = *sheet_, score = *score](CaseSession& session) -> Result<EditGroup> {
        AFTERSCOPE_TRY(Prepare(session, sheet));
        Moment moment;
        moment.id = session.NewMomentId();
        moment.at = at;
        moment.text = words;
        return EditGroup{"Note a moment for a score",
                         {Put<Moment>{moment}, Put<Score>{WithMoment(score, moment.id)}}};
      });
}

bool ScoreDesk::Do(const std::string& action, const Scene& scene) {
  if (action == "score sheet") {
    NextSheet();
    return true;
  }
  if (Item() == nullptr) return false;
  const std::size_t count = sheet_->items.size();
  if (action == "next moment" || action == "previous moment")
    Choose((item_ + (action == "next moment" ? 1 : count - 1)) % count, scene);
  else if (action == "remark")
    AskRemark(scene);
  else if (action == "end step")
    TieMoment(scene);
  else if (action == "remove")
    TakeBack(scene);
  else
    return false;
  return true;
}

bool ScoreDesk::Press(const KeyChord& chord, const Scene& scene) {
  if (chord.ctrl || chord.shift || chord.alt || chord.key.size() != 1) return false;
  const ScoreItem* item = Item();
  if (item == nullptr || chord.key[0] < '0' || chord.key[0] > '9') return false;
  const std::string value = ValueOfDigit(*item, chord.key[0]);
  if (value.empty())
    calls_.say(chord.key == "0" ? "This item always applies." : "This item has no value on that key.", true);
  else
    Give(value, scene);
  return true;
}

std::vector<KeyHint> ScoreDesk::Hints(const Scene& scene) const {
  const ScoreItem* item = Item();
  if (item == nullptr) return {};
  return {{fmt::format("1 – {}", std::min<std::size_t>(9, item->levels.size())), "score"},
          {"0", "not applicable"},
          {scene.keys.KeyFor("next moment"), "next item"},
          {scene.keys.KeyFor("remark"), "remark"},
          {scene.keys.KeyFor("end step"), "this frame shows it"},
          {scene.keys.KeyFor("remove"), "take it back"},
          {scene.keys.KeyFor("leave"), "back to the steps"}};
}

}  // namespace afterscope

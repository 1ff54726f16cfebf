// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/due_panel.hpp"

#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/jobs/series/update_index.hpp"
#include "app/common/assets.hpp"
#include "app/common/console.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/work_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

struct Listed {
  std::vector<FollowUp> follow_ups;
  std::vector<std::string> cautions;
};

// Overdue, due, to come; within each the earliest first.
int Turn(const FollowUp& follow_up) {
  if (follow_up.state == FollowUpState::kOverdue) return 0;
  return follow_up.state == FollowUpState::kDue ? 1 : 2;
}

Result<Listed> ListIn(const std::string& folder, const Progress& progress, const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(const auto known, LoadNamedKeys(AssetsFolder() + "/outcomes.json", "follow_ups"));
  AFTERSCOPE_ASSIGN(const CurrentIndex current, OpenCurrentIndex(DefaultIndexPath(), folder, progress, stop));
  AFTERSCOPE_ASSIGN(const SeriesRecords records, RecordsUnder(*current.index, current.folder));
  const std::vector<IndexCase>& cases = records.cases;
  Listed listed;
  listed.follow_ups = FollowUpsOn(Today(), cases, known, listed.cautions);
  std::erase_if(listed.follow_ups, [](const FollowUp& f) { return f.state == FollowUpState::kDone; });
  std::stable_sort(listed.follow_ups.begin(), listed.follow_ups.end(),
                   [](const FollowUp& a, const FollowUp& b) { return Turn(a) < Turn(b); });
  return listed;
}

Result<EditGroup> Done(const FollowUp& follow_up, const CaseSession& session) {
  return TickOffFollowUp(follow_up.key, Today(), Today(), session.record(), {});
}

}  // namespace

void DuePanel::LookThrough(const std::string& folder) {
  folder_ = folder;
  looking_ = calls_.jobs.Start(
      "Looking for what is due",
      [folder](const Progress& progress, const StopQuery& stop) { return ListIn(folder, progress, stop); },
      [this, asked = ++asked_](Result<Listed> listed) {
        if (asked != asked_) return;
        chosen_.reset();
        follow_ups_.clear();
        cautions_.clear();
        if (!listed.ok()) return cautions_.push_back(listed.error().message);
        follow_ups_ = std::move(listed->follow_ups);
        cautions_ = std::move(listed->cautions);
      });
}

// In the case that is open through its desk, in another one by opening it for a moment.
void DuePanel::TickOff(const FollowUp& follow_up, const std::string& open_folder) {
  if (follow_up.folder == open_folder) {
    calls_.push([follow_up](CaseSession& session) { return Done(follow_up, session); });
    follow_ups_.erase(std::find_if(follow_ups_.begin(), follow_ups_.end(), [&](const FollowUp& f) {
      return f.folder == follow_up.folder && f.key == follow_up.key;
    }));
    chosen_.reset();
    return;
  }
  calls_.jobs.Start(
      "",
      [follow_up](const Progress&, const StopQuery&) -> Status {
        AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(follow_up.folder, {}));
        AFTERSCOPE_ASSIGN(const EditGroup done, Done(follow_up, *session));
        AFTERSCOPE_TRY(session->Commit(done));
        return session->SaveCheckpoint();
      },
      [this](const Status& done) {
        if (!done.ok()) return calls_.say(done.error().message, true);
        if (!folder_.empty()) LookThrough(folder_);
      });
}

bool DuePanel::Do(const std::string& action, const Scene& scene) {
  const std::size_t count = follow_ups_.size();
  const bool next = action == "next moment";
  if (next || action == "previous moment") {
    if (count == 0) return true;
    chosen_ = chosen_ ? (*chosen_ + (next ? 1 : count - 1)) % count : next ? 0 : count - 1;
    scroll_ = true;
    return true;
  }
  if (action != "remark" && action != "follow-up done") return false;
  if (!chosen_) {
    calls_.say("Nothing is chosen; " + scene.keys.KeyFor("next moment") + " goes from one to the next.",
               false);
    return true;
  }
  const FollowUp follow_up = follow_ups_[*chosen_];
  if (action == "remark")
    calls_.open_at(follow_up.folder, std::nullopt);
  else
    TickOff(follow_up, scene.view.folder);
  return true;
}

std::vector<KeyHint> DuePanel::Hints(const Scene& scene) const {
  if (follow_ups_.empty()) return {};
  return {{scene.keys.KeyFor("next moment"), "next one"},
          {scene.keys.KeyFor("remark"), "open the case"},
          {scene.keys.KeyFor("follow-up done"), "done today"},
          {scene.keys.KeyFor("leave"), "back to the steps"}};
}

void DuePanel::DrawFollowUp(const Scene& scene, std::size_t index) {
  const Look& look = scene.look;
  const FollowUp follow_up = follow_ups_[index];
  const bool chosen = chosen_ == index;
  const bool late = follow_up.state == FollowUpState::kOverdue;
  const Row row = BeginRow(look, fmt::format("due {}", index).c_str(), look.Px(40), chosen);
  if (row.pressed) chosen_ = index;
  if (chosen && std::exchange(scroll_, false)) ImGui::SetScrollHereY(0.4F);
  const std::string state = std::string(late ? "!  " : "") + StateWords(follow_up.state);
  const float width = look.script->Size(look.fonts.small, state).x;
  const Row top{false, false, row.from, {row.to.x, row.from.y + look.Px(22)}};
  const Row below{false, false, {row.from.x, row.from.y + look.Px(18)}, row.to};
  RowText(look, top, row.from.x + look.Px(6), follow_up.name, look.colours.text,
          chosen ? look.fonts.strong : look.fonts.body, row.to.x - row.from.x - look.Px(14));
  RowTextRight(look, below, row.to.x - look.Px(5), state, late ? look.colours.warning : look.colours.quiet,
               look.fonts.small);
  RowText(look, below, row.from.x + look.Px(6),
          fmt::format("{}   {}", follow_up.code, WindowWords(follow_up)), look.colours.quiet,
          look.fonts.small, row.to.x - row.from.x - width - look.Px(20));
  if (!chosen) return;
  ButtonRow buttons(look);
  if (buttons.Add("Open the case", scene.keys.KeyFor("remark")))
    calls_.open_at(follow_up.folder, std::nullopt);
  if (buttons.Add("Done today", scene.keys.KeyFor("follow-up done"))) TickOff(follow_up, scene.view.folder);
}

void DuePanel::Draw(const Scene& scene, const std::string& folder) {
  const Look& look = scene.look;
  if (folder != folder_) LookThrough(folder);
  if (DrawWork(scene, looking_)) return;
  for (const std::string& caution : cautions_) SayQuietly(look, "! " + caution);
  if (follow_ups_.empty())
    return SayQuietly(
        look,
        "Nothing is to be looked at again. What is, is planned with the case, such as the posterior "
        "capsule after two to three months.");
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, look.Px(1)});
  for (std::size_t i = 0; i < follow_ups_.size(); ++i) DrawFollowUp(scene, i);
  ImGui::PopStyleVar();
}

}  // namespace afterscope

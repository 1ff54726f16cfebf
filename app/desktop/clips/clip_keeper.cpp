// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_keeper.hpp"

#include "annotate/clip/clip_plan_json.hpp"

#include <algorithm>
#include <filesystem>
#include <mutex>
#include <utility>

namespace afterscope {
namespace {

constexpr const char* kUsualName = "clip";

// The plan of the usual name, else the first that is there, else a new one.
Result<ClipPlan> PlanOf(const std::string& folder) {
  const std::vector<std::string> names = ClipPlanNames(folder);
  if (names.empty()) {
    ClipPlan fresh;
    fresh.name = kUsualName;
    return fresh;
  }
  const bool usual = std::find(names.begin(), names.end(), kUsualName) != names.end();
  return LoadClipPlan(folder, usual ? kUsualName : names.front());
}

// A plan without parts is none: its file goes.
Status Keep(const std::string& folder, const ClipPlan& plan) {
  return plan.parts.empty() ? RemoveClipPlan(folder, plan.name) : SaveClipPlan(folder, plan);
}

}  // namespace

void ClipKeeper::Load() {
  ready_ = false;
  calls_.jobs.Start(
      "", [folder = folder_](const Progress&, const StopQuery&) { return PlanOf(folder); },
      [this, folder = folder_](Result<ClipPlan> loaded) {
        if (folder != folder_) return;
        if (!loaded.ok()) return calls_.say(loaded.error().message, true);
        book_.Open(std::move(*loaded));
        saved_ = book_.revision();
        ready_ = true;
      });
}

std::string ClipKeeper::NameOf(const std::string& case_folder) const {
  if (case_folder == folder_) return {};
  return std::filesystem::path(case_folder).lexically_proximate(folder_).string();
}

void ClipKeeper::Follow(const std::string& open_folder) {
  if (folder_.empty()) held_ = false;
  const std::string folder = held_ ? folder_ : open_folder;
  if (folder != folder_) {
    SaveNow();
    folder_ = folder;
    ready_ = false;
    book_.Open({});
    saved_ = book_.revision();
    if (!folder_.empty()) Load();
    return;
  }
  if (!ready_ || saved_ == book_.revision() || (saving_ && !saving_->ended())) return;
  saved_ = book_.revision();
  saving_ = calls_.jobs.Start(
      "",
      [folder, plan = book_.plan(), writing = writing_](const Progress&, const StopQuery& stop) {
        const std::lock_guard lock(*writing);
        return stop() ? Status() : Keep(folder, plan);  // stopped: SaveNow has written a later one
      },
      [this](const Status& kept) {
        if (!kept.ok()) calls_.say(kept.error().message, true);
      });
}

void ClipKeeper::SaveNow() {
  if (!ready_) return;
  const bool on_its_way = saving_ && !saving_->ended();
  if (!on_its_way && saved_ == book_.revision()) return;
  // It may wait behind other jobs for long; what is being written is waited for.
  if (on_its_way) saving_->Stop();
  saving_ = nullptr;
  const std::lock_guard lock(*writing_);
  saved_ = book_.revision();
  if (const Status kept = Keep(folder_, book_.plan()); !kept.ok()) calls_.say(kept.error().message, true);
}

}  // namespace afterscope

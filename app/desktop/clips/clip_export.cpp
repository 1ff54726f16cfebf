// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/clip/find_text.hpp"
#include "annotate/store/file_system.hpp"
#include "app/common/console.hpp"
#include "app/desktop/clips/clip_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <tuple>
#include <utility>

namespace afterscope {
namespace {

constexpr std::array<std::pair<int, int>, 3> kSizes{{{1280, 720}, {1920, 1080}, {854, 480}}};

struct Made {
  std::string path;
  ClipDone done;
};

// Under a name that is not taken, in the case's own folder.
Result<Made> MakeInCase(const std::string& folder, const std::string& code, const std::string& what,
                        const std::string& ending, const ClipPlan& plan, const ClipOptions& options,
                        const Progress& progress, const StopQuery& stop) {
  FileSystem& files = RealFileSystem();
  const std::string clips = folder + "/clips";
  AFTERSCOPE_TRY(MakeFolders(files, clips));
  Made made;
  made.path = clips + "/" + ClipFileName(code, what, ending, [&](const std::string& name) {
                const auto info = files.Stat(clips + "/" + name);
                return info.ok() && info->type != FileType::kAbsent;
              });
  AFTERSCOPE_ASSIGN(made.done, MakeClip(folder, plan, made.path, options, progress, stop));
  return made;
}

void NextSize(ClipPlan& plan) {
  std::size_t at = 0;
  while (at < kSizes.size() && kSizes[at].second != plan.height) ++at;
  std::tie(plan.width, plan.height) = kSizes[at + 1 < kSizes.size() ? at + 1 : 0];
}

}  // namespace

bool ClipSheet::DoExport(const std::string& action, const Scene& scene) {
  if (wanted_ && (action == "remark" || action == "leave")) {
    if (action == "remark") {
      gone_through_ = folder_;
      StartExport(scene);
    }
    wanted_.reset();
  } else if (action == "clip export") {
    if (Ready(scene)) WantClip({keeper_.plan(), keeper_.plan().name}, scene);
  } else if (action == "clip stop") {
    if (exporting_) exporting_->Stop();
    if (finding_) finding_->Stop();
  } else if (action == "clip purpose") {
    const auto* at = std::find(std::begin(kClipPurposes), std::end(kClipPurposes), purpose_);
    purpose_ =
        at == std::end(kClipPurposes) || at + 1 == std::end(kClipPurposes) ? kClipPurposes[0] : *(at + 1);
  } else if (action == "clip form") {
    webm_ = !webm_;
  } else if (action == "clip size") {
    ClipPlan plan = keeper_.plan();
    NextSize(plan);
    keeper_.Change(std::move(plan));
  } else if (action == "clip find words") {
    FindWords(scene);
  } else {
    return false;
  }
  return true;
}

// What the consent does not allow is refused before anything is asked.
void ClipSheet::WantClip(Wanted wanted, const Scene& scene) {
  refused_.clear();
  if (Exporting()) return calls_.say("A clip is being made; stop it first.", true);
  Status possible = CheckPlan(wanted.plan);
  if (possible.ok()) possible = CheckConsent(scene.view.record, purpose_, Today());
  if (!possible.ok()) {
    refused_ = possible.error().message;
    return calls_.say(refused_, true);
  }
  wanted_ = std::move(wanted);
  if (gone_through_ != folder_) return;
  StartExport(scene);
  wanted_.reset();
}

void ClipSheet::StartExport(const Scene& scene) {
  made_.clear();
  ClipOptions options;
  options.purpose = purpose_;
  options.today = Today();
  exporting_ = calls_.jobs.Start(
      "Making the clip",
      [folder = keeper_.folder(), code = scene.view.record.code, wanted = *wanted_,
       ending = std::string(webm_ ? ".webm" : ".mp4"),
       options](const Progress& progress, const StopQuery& stop) {
        return MakeInCase(folder, code, wanted.what, ending, wanted.plan, options, progress, stop);
      },
      [this, folder = folder_, blind = scene.view.hidden](const Result<Made>& made) {
        if (!made.ok()) {
          if (folder == folder_) refused_ = made.error().message;
          return calls_.say(made.error().message, made.error().code != ErrorCode::kStopped);
        }
        calls_.say("The clip is in " + made->path, false);
        if (folder != folder_) return;
        made_ = {made->path};
        if (!made->done.caption_file.empty())
          made_.push_back("Captions beside it: " + made->done.caption_file);
        for (const std::string& caution : made->done.cautions) made_.push_back("! " + caution);
        if (blind) return;  // the names of recordings are not to be seen
        made_.insert(made_.end(), made->done.left_behind.begin(), made->done.left_behind.end());
      });
}

void ClipSheet::FindWords(const Scene& scene) {
  if (!Ready(scene) || (finding_ && !finding_->ended())) return;
  finding_ = calls_.jobs.Start(
      "Looking for words in the picture",
      [folder = folder_, record = scene.view.record](const Progress& progress, const StopQuery& stop) {
        return FindBurntInText(folder, record, progress, stop);
      },
      [this, folder = folder_](const Result<std::vector<FoundText>>& found) {
        if (folder != folder_) return;
        if (!found.ok()) return calls_.say(found.error().message, found.error().code != ErrorCode::kStopped);
        calls_.say(fmt::format("{}; look through the recording yourself before it is shared.",
                               found->empty() ? "No words were found in the picture"
                                              : fmt::format("{} areas are covered now", found->size())),
                   false);
        if (found->empty()) return;
        calls_.push([found = *found](CaseSession& session) -> Result<EditGroup> {
          return CoverEdits(found, [&session] { return session.NewMarkId(); });
        });
      });
}

}  // namespace afterscope

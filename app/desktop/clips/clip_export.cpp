// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/case_cues.hpp"
#include "annotate/exchange/visit_csv.hpp"
#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/clip/find_text.hpp"
#include "annotate/store/file_system.hpp"
#include "app/common/console.hpp"
#include "app/desktop/clips/clip_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
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

// A name in the case's own folder of clips that is not taken.
std::string FreePath(const std::string& folder, const std::string& code, const std::string& what,
                     const std::string& ending) {
  const std::string clips = folder + "/clips/";
  return clips + ClipFileName(code, what, ending, [&](const std::string& name) {
           const auto info = RealFileSystem().Stat(clips + name);
           return info.ok() && info->type != FileType::kAbsent;
         });
}

Result<Made> MakeInCase(const std::string& folder, const std::string& code, const std::string& what,
                        const std::string& ending, const ClipPlan& plan, const ClipOptions& options,
                        const Progress& progress, const StopQuery& stop) {
  AFTERSCOPE_TRY(MakeFolders(RealFileSystem(), folder + "/clips"));
  Made made;
  made.path = FreePath(folder, code, what, ending);
  AFTERSCOPE_ASSIGN(made.done, MakeClip(folder, plan, made.path, options, progress, stop));
  return made;
}

struct TextFile {
  std::string what, ending, text;
};

// What was said, and the steps as chapters and as a table; what there is none of is left out.
std::vector<TextFile> TextsOf(const Review& review, const StepList& steps,
                              const std::vector<VoiceTake>& takes, const CaseClock& clock) {
  std::vector<TextFile> texts;
  if (const auto said = CaptionsOfCase(review, takes, clock); !said.empty())
    texts.push_back({"captions", ".vtt", WriteWebVtt(said)});
  const auto chapters = ChaptersOfCase(review, steps, clock);
  if (chapters.empty()) return texts;
  texts.push_back({"chapters", ".vtt", WriteWebVtt(chapters)});
  texts.push_back({"steps", ".csv", CsvFromVisits(review, steps, clock)});
  return texts;
}

// Under names that are not taken, in the case's own folder; their paths.
Result<std::vector<std::string>> WriteTextsInCase(const std::string& folder, const std::string& code,
                                                  const std::vector<TextFile>& texts) {
  AFTERSCOPE_TRY(MakeFolders(RealFileSystem(), folder + "/clips"));
  std::vector<std::string> paths;
  for (const TextFile& text : texts) {
    paths.push_back(FreePath(folder, code, text.what, text.ending));
    AFTERSCOPE_TRY(WriteNewFile(RealFileSystem(), paths.back(), text.text));
  }
  return paths;
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
  } else if (action == "captions and steps") {
    WriteTexts(scene);
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
  if (gone_through_ != folder_) return ReadOtherCovers(scene);
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
      [this, folder = folder_,
       how = fmt::format("{} lists them, {} uncovers them", scene.keys.KeyFor("sheet marks"),
                         scene.keys.KeyFor("undo"))](const Result<std::vector<FoundText>>& found) {
        if (folder != folder_) return;
        if (!found.ok()) return calls_.say(found.error().message, found.error().code != ErrorCode::kStopped);
        calls_.say(fmt::format("{}; look through the recording yourself before it is shared.",
                               found->empty() ? "No words were found in the picture"
                               : found->size() == 1
                                   ? "1 area is covered now; " + how
                                   : fmt::format("{} areas are covered now; {}", found->size(), how)),
                   false);
        if (found->empty()) return;
        calls_.push([found = *found](CaseSession& session) -> Result<EditGroup> {
          return CoverEdits(found, [&session] { return session.NewMarkId(); });
        });
      });
}

void ClipSheet::WriteTexts(const Scene& scene) {
  if (!Ready(scene)) return;
  auto texts = TextsOf(scene.view.review, scene.steps, voice_.takes(), scene.clock);
  if (texts.empty()) return calls_.say("There is neither a step nor a narration in this case yet.", true);
  calls_.jobs.Start(
      "",
      [folder = folder_, code = scene.view.record.code, texts = std::move(texts)](
          const Progress&, const StopQuery&) { return WriteTextsInCase(folder, code, texts); },
      [this, folder = folder_](const Result<std::vector<std::string>>& paths) {
        if (!paths.ok()) return calls_.say(paths.error().message, true);
        std::string names;
        for (const std::string& path : *paths)
          names += (names.empty() ? "" : ", ") + std::filesystem::path(path).filename().string();
        calls_.say(fmt::format("{}/clips has {}", folder, names), false);
      });
}

}  // namespace afterscope

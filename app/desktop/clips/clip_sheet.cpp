// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_sheet.hpp"

#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/clip/find_text.hpp"
#include "annotate/store/file_system.hpp"
#include "app/common/assets.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <array>
#include <ctime>
#include <iterator>
#include <utility>

namespace afterscope {
namespace {

constexpr double kTitleSeconds = 3;
constexpr std::array<std::pair<int, int>, 3> kSizes{{{1280, 720}, {1920, 1080}, {854, 480}}};

std::string Today() { return fmt::format("{:%Y-%m-%d}", fmt::localtime(std::time(nullptr))); }

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

ClipSheet::ClipSheet(const SheetCalls& calls) : calls_(calls), keeper_(calls), preview_(calls.wake) {
  if (auto checks = LoadWordList(AssetsFolder() + "/sharing.json", "checks")) checks_ = std::move(*checks);
}

void ClipSheet::Forget() {
  preview_.Close();
  wanted_.reset();
  chosen_ = 0;
  made_.clear();
  refused_.clear();
  if (finding_) finding_->Stop();
}

void ClipSheet::Follow(const Scene& scene, bool shown) {
  folder_ = scene.view.folder;
  keeper_.Follow(folder_);
  if (!shown) {
    preview_.Close();
    wanted_.reset();
  }
  const std::size_t parts = keeper_.plan().parts.size();
  if (chosen_ >= parts) chosen_ = parts == 0 ? 0 : parts - 1;
  if (!preview_.open()) return;
  if (parts == 0) return preview_.Close();
  if (previewed_plan_ == keeper_.revision() && previewed_case_ == scene.view.revision) return;
  previewed_plan_ = keeper_.revision();
  previewed_case_ = scene.view.revision;
  preview_.Open(folder_, keeper_.plan());
}

bool ClipSheet::Ready(const Scene& scene) const {
  if (scene.view.folder.empty())
    calls_.say("A clip is made of a case: note or tag something first, then it is one.", true);
  else if (!keeper_.ready())
    calls_.say("The clip plan of this case is not read yet.", true);
  return !scene.view.folder.empty() && keeper_.ready();
}

bool ClipSheet::DoAnywhere(const std::string& action, const Scene& scene) {
  if (action == "clip of this") {
    if (!Ready(scene)) return true;
    ClipPlan plan = keeper_.plan();
    plan.parts = {QuickPart({scene.view.review, scene.steps, scene.clock, scene.player.playhead()})};
    const std::string what = plan.parts.front().text;
    calls_.show(SheetKind::kClips);
    WantClip({std::move(plan), what}, scene);
  } else if (action == "step into clip") {
    AddPart(scene);
  } else {
    return false;
  }
  return true;
}

void ClipSheet::AddPart(const Scene& scene) {
  if (!Ready(scene)) return;
  auto part = PartOfStepHere({scene.view.review, scene.steps, scene.clock, scene.player.playhead()});
  if (!part) return calls_.say("There is no step at this frame; go to the step first.", true);
  ClipPlan plan = keeper_.plan();
  plan.parts.push_back(std::move(*part));
  chosen_ = plan.parts.size() - 1;
  calls_.say(fmt::format("{} is part {} of the clip", plan.parts.back().text, plan.parts.size()), false);
  keeper_.Change(std::move(plan));
}

void ClipSheet::Choose(std::size_t index, const Scene& scene) {
  const auto& parts = keeper_.plan().parts;
  if (index >= parts.size()) return;
  chosen_ = index;
  if (preview_.open())
    preview_.JumpToPart(index);
  else if (parts[index].kind != ClipPartKind::kTitle && parts[index].case_folder.empty())
    calls_.jump(FrameShownAt(scene.tables, parts[index].start));
}

void ClipSheet::ChangePart(const std::function<void(ClipPart&)>& change) {
  ClipPlan plan = keeper_.plan();
  if (chosen_ >= plan.parts.size()) return;
  change(plan.parts[chosen_]);
  keeper_.Change(std::move(plan));
}

void ClipSheet::AskTitle(std::size_t index) {
  const auto& parts = keeper_.plan().parts;
  if (index >= parts.size()) return;
  const bool card = parts[index].kind == ClipPartKind::kTitle;
  calls_.ask(card ? "Words of the title card" : "Heading of this part",
             card ? "in the middle of the picture" : "shown at its beginning; empty: none", parts[index].text,
             [this, index, card](const std::string& words) {
               ClipPlan plan = keeper_.plan();
               if (index >= plan.parts.size() || (card && words.empty())) return;
               plan.parts[index].text = words;
               keeper_.Change(std::move(plan));
             });
}

void ClipSheet::AddTitleCard() {
  calls_.ask("Words of a title card", "before the part that is chosen", "", [this](const std::string& words) {
    if (words.empty()) return;
    ClipPlan plan = keeper_.plan();
    ClipPart card;
    card.kind = ClipPartKind::kTitle;
    card.seconds = kTitleSeconds;
    card.fade_seconds = 0.5;
    card.text = words;
    plan.parts.insert(plan.parts.begin() + static_cast<std::ptrdiff_t>(std::min(chosen_, plan.parts.size())),
                      std::move(card));
    keeper_.Change(std::move(plan));
  });
}

bool ClipSheet::DoPart(const std::string& action, const Scene& scene) {
  const auto& parts = keeper_.plan().parts;
  if (action == "clip title card") {
    if (Ready(scene)) AddTitleCard();
    return true;
  }
  if (parts.empty()) return false;
  if (action == "next moment" || action == "previous moment") {
    const std::size_t step = action == "next moment" ? 1 : parts.size() - 1;
    Choose((chosen_ + step) % parts.size(), scene);
  } else if (action == "boundary earlier" || action == "boundary later") {
    ClipPlan plan = keeper_.plan();
    chosen_ = MovePart(plan.parts, chosen_, action == "boundary earlier" ? -1 : 1);
    keeper_.Change(std::move(plan));
  } else if (action == "remove") {
    ClipPlan plan = keeper_.plan();
    plan.parts.erase(plan.parts.begin() + static_cast<std::ptrdiff_t>(chosen_));
    keeper_.Change(std::move(plan));
  } else if (action == "remark") {
    AskTitle(chosen_);
  } else if (action == "faster" || action == "slower") {
    const int direction = action == "faster" ? 1 : -1;
    ChangePart([&](ClipPart& part) {
      if (part.kind == ClipPartKind::kStretch)
        part.speed = NextPartSpeed(part.speed, direction);
      else
        part.seconds = std::clamp(part.seconds + direction, 1.0, 60.0);
    });
  } else if (action == "drawings") {
    ChangePart([](ClipPart& part) { part.outlines = !part.outlines; });
  } else if (action == "clip trail") {
    ChangePart([](ClipPart& part) { part.trail = !part.trail; });
  } else if (action == "clip timer") {
    ChangePart([](ClipPart& part) { part.timer = !part.timer; });
  } else if (action == "clip captions") {
    ChangePart([](ClipPart& part) { part.captions = !part.captions; });
  } else if (action == "mute") {
    ChangePart([](ClipPart& part) {
      part.sound = part.sound == ClipSound::kMuted ? ClipSound::kOriginal : ClipSound::kMuted;
    });
  } else if (action == "undo" || action == "redo") {
    return action == "undo" ? keeper_.Undo() : keeper_.Redo();
  } else {
    return false;
  }
  return true;
}

bool ClipSheet::DoPreview(const std::string& action) {
  if (action == "clip preview") {
    if (preview_.open()) {
      preview_.Close();
    } else if (keeper_.plan().parts.empty()) {
      calls_.say("The clip has no parts yet.", true);
    } else {
      previewed_plan_ = 0;
      preview_.Open(folder_, keeper_.plan());
      preview_.JumpToPart(chosen_);
    }
    return true;
  }
  if (!preview_.open()) return false;
  if (action == "play")
    preview_.TogglePlay();
  else if (action == "next frame" || action == "ten frames on")
    preview_.StepBy(action == "next frame" ? 1 : 10);
  else if (action == "previous frame" || action == "ten frames back")
    preview_.StepBy(action == "previous frame" ? -1 : -10);
  else if (action == "first frame" || action == "last frame")
    preview_.JumpTo(action == "first frame" ? 0 : 1);
  else if (action == "leave")
    preview_.Close();
  else
    return false;
  return true;
}

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

bool ClipSheet::Do(const std::string& action, const Scene& scene) {
  if (DoExport(action, scene) || DoPreview(action) || DoPart(action, scene)) return true;
  return false;
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
  export_begun_ = scene.now;
  ClipOptions options;
  options.purpose = purpose_;
  options.today = Today();
  exporting_ = calls_.jobs.Start(
      "Making the clip",
      [folder = folder_, code = scene.view.record.code, wanted = *wanted_,
       ending = std::string(webm_ ? ".webm" : ".mp4"),
       options](const Progress& progress, const StopQuery& stop) {
        return MakeInCase(folder, code, wanted.what, ending, wanted.plan, options, progress, stop);
      },
      [this, folder = folder_](const Result<Made>& made) {
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

std::vector<KeyHint> ClipSheet::Hints(const Scene& scene) const {
  const auto hint = [&](const char* action, std::string words) {
    return KeyHint{scene.keys.KeyFor(action), std::move(words)};
  };
  if (wanted_) return {hint("remark", "make the clip"), hint("leave", "not now")};
  std::vector<KeyHint> hints;
  if (preview_.open()) {
    hints = {hint("play", preview_.shown().playing ? "pause" : "play the clip"),
             hint("next frame", "frame on"), hint("leave", "end the preview")};
  } else {
    hints = {hint("step into clip", "this step becomes a part"), hint("clip of this", "clip of what is here"),
             hint("clip preview", "preview")};
  }
  if (!keeper_.plan().parts.empty())
    for (KeyHint& more : std::vector<KeyHint>{hint("next moment", "next part"), hint("remark", "heading"),
                                              hint("clip export", "make the clip")})
      hints.push_back(std::move(more));
  return hints;
}

}  // namespace afterscope

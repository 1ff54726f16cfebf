// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_sheet.hpp"

#include "annotate/jobs/clip/keep_take.hpp"
#include "app/common/assets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

constexpr double kTitleSeconds = 3;

}  // namespace

ClipSheet::ClipSheet(const SheetCalls& calls)
    : calls_(calls),
      keeper_(calls),
      preview_(calls.wake, &speaker_),
      voice_(calls, speaker_, [] { return Microphone::Open(kMostTakeSeconds); }) {
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
  voice_.Follow(scene);
  const double volume = scene.sound.muted ? 0 : scene.sound.volume_pct / 100.0;
  speaker_.SetVolume(volume * volume);  // ears hear ratios
  if (!shown) {
    preview_.Close();
    wanted_.reset();
    covers_of_.clear();
  } else if (covers_of_ != folder_ + "/" + scene.view.review.id.value) {
    ReadOtherCovers(scene);
  }
  const std::size_t parts = keeper_.plan().parts.size();
  if (chosen_ >= parts) chosen_ = parts == 0 ? 0 : parts - 1;
  if (!preview_.open()) return;
  if (parts == 0) return preview_.Close();
  if (previewed_plan_ == keeper_.revision() && previewed_case_ == scene.view.revision &&
      previewed_takes_ == voice_.revision())
    return;
  previewed_takes_ = voice_.revision();
  previewed_plan_ = keeper_.revision();
  previewed_case_ = scene.view.revision;
  preview_.Open(keeper_.folder(), keeper_.plan());
}

void ClipSheet::ReadOtherCovers(const Scene& scene) {
  covers_of_ = folder_ + "/" + scene.view.review.id.value;
  other_covers_.reset();
  if (folder_.empty()) return;
  calls_.jobs.Start(
      "",
      [folder = folder_, review = scene.view.review](const Progress&, const StopQuery&) {
        return CoversOfOthers(folder, review);
      },
      [this, of = covers_of_](OtherCovers found) {
        if (of == covers_of_) other_covers_ = std::move(found);
      });
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
  } else if (action == "take into clip") {
    if (Ready(scene)) AddParts(voice_.PartsHere(scene));
  } else if (voice_.Do(action, scene)) {
    if (action == "narrate" || action == "narrate again") calls_.show(SheetKind::kClips);
  } else if (action == "step into clip" || action == "steps into clip" || action == "still into clip") {
    if (!Ready(scene)) return true;
    const ClipPlace here{scene.view.review, scene.steps, scene.clock, scene.player.playhead()};
    const auto step = PartOfStepHere(here);
    AddParts(action == "steps into clip"   ? PartsOfThisStep(here)
             : action == "still into clip" ? std::vector{StillHere(here)}
             : step                        ? std::vector{*step}
                                           : std::vector<ClipPart>());
  } else {
    return false;
  }
  return true;
}

void ClipSheet::AddParts(std::vector<ClipPart> parts) {
  if (parts.empty()) return calls_.say("There is no step, or take, at this frame; go to it first.", true);
  ClipPlan plan = keeper_.plan();
  for (ClipPart& part : parts) {
    part.case_folder = keeper_.NameOf(folder_);
    plan.parts.push_back(std::move(part));
  }
  chosen_ = plan.parts.size() - 1;
  calls_.say(fmt::format("{} is part {} of the clip", PartTitle(plan.parts.back(), chosen_), chosen_ + 1),
             false);
  keeper_.Change(std::move(plan));
}

void ClipSheet::Choose(std::size_t index, const Scene& scene) {
  const auto& parts = keeper_.plan().parts;
  if (index >= parts.size()) return;
  chosen_ = index;
  if (preview_.open())
    preview_.JumpToPart(index);
  else if (parts[index].kind != ClipPartKind::kTitle && parts[index].case_folder == keeper_.NameOf(folder_))
    calls_.jump(FrameShownAt(scene.tables, parts[index].start));
}

void ClipSheet::ChangePart(const std::function<void(ClipPart&)>& change, bool goes_on) {
  ClipPlan plan = keeper_.plan();
  if (chosen_ >= plan.parts.size()) return;
  change(plan.parts[chosen_]);
  keeper_.Change(std::move(plan), goes_on);
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
  } else if (action == "clip freeze") {
    Freeze(scene);
  } else if (DoSwitch(action) || DoSound(action)) {
    return true;
  } else if (action == "undo" || action == "redo") {
    return action == "undo" ? keeper_.Undo() : keeper_.Redo();
  } else {
    return false;
  }
  return true;
}

void ClipSheet::TogglePreview(const Scene& scene) {
  if (preview_.open()) return preview_.Close();
  if (keeper_.plan().parts.empty()) return calls_.say("The clip has no parts yet.", true);
  calls_.jump(scene.player.playhead());  // the recording rests
  previewed_plan_ = 0;
  preview_.Open(keeper_.folder(), keeper_.plan());
  preview_.JumpToPart(chosen_);
}

bool ClipSheet::MoveInPreview(const std::string& action) {
  if (action == "play")
    preview_.TogglePlay();
  else if (action == "next frame" || action == "ten frames on")
    preview_.StepBy(action == "next frame" ? 1 : 10);
  else if (action == "previous frame" || action == "ten frames back")
    preview_.StepBy(action == "previous frame" ? -1 : -10);
  else if (action == "first frame" || action == "last frame")
    preview_.JumpTo(action == "first frame" ? 0 : 1);
  else
    return false;
  return true;
}

bool ClipSheet::DoPreview(const std::string& action) {
  if (!preview_.open()) return false;
  if (action == "leave" && arrow_) {
    arrow_ = false;
  } else if (action == "leave") {
    preview_.Close();
  } else if (action == "mark arrow") {
    arrow_ = !arrow_;
    preview_.StepBy(0);  // it rests
    if (arrow_)
      calls_.say("Draw the arrow: press at its tail, let go at its head; a click puts words there", false);
  } else {
    return MoveInPreview(action) || DoView(action);
  }
  return true;
}

bool ClipSheet::Do(const std::string& action, const Scene& scene) {
  if (action == "clip preview") {
    TogglePreview(scene);
    return true;
  }
  if (action == "clip hold") {
    ToggleHold(scene);
    return true;
  }
  return DoExport(action, scene) || DoPreview(action) || DoPlan(action) || DoPart(action, scene);
}

std::vector<KeyHint> ClipSheet::Hints(const Scene& scene) const {
  const auto hint = [&](const char* action, std::string words) {
    return KeyHint{scene.keys.KeyFor(action), std::move(words)};
  };
  if (wanted_) return {hint("remark", "make the clip"), hint("leave", "not now")};
  if (voice_.active())
    return {hint("narrate", "end the take"), hint("play", scene.player.playing() ? "pause" : "play"),
            hint("next frame", "a frame on"), hint("ten frames back", "ten back")};
  std::vector<KeyHint> hints;
  if (preview_.open()) {
    hints = {hint("play", preview_.shown().playing ? "pause" : "play the clip"), hint("zoom in", "nearer"),
             hint("clip view end", "view at beginning or end"), hint("mark arrow", "arrow"),
             hint("leave", "end the preview")};
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

// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/keep_take.hpp"
#include "app/desktop/clips/clip_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace afterscope {
namespace {

constexpr std::array kFades{0.0, 0.5, 1.0, 2.0};
constexpr std::array<Rational, 5> kRates{{{25, 1}, {30, 1}, {50, 1}, {60, 1}, {24, 1}}};
constexpr double kNearer = 1.25;  // a press
constexpr double kMove = 0.08;    // of what is seen, a press
constexpr double kFreezeSeconds = 3;

double NextFade(double fade) {
  const auto* next = std::upper_bound(kFades.begin(), kFades.end(), fade + 1e-9);
  return next == kFades.end() ? kFades.front() : *next;
}

Rational NextRate(Rational rate) {
  const auto* at = std::find(kRates.begin(), kRates.end(), rate);
  return at == kRates.end() || at + 1 == kRates.end() ? kRates.front() : *(at + 1);
}

// The switch of a part that an action turns over; null: none.
bool ClipPart::*SwitchOf(const std::string& action) {
  static constexpr std::pair<const char*, bool ClipPart::*> kSwitches[] = {
      {"drawings", &ClipPart::outlines},      {"clip dial", &ClipPart::dial},
      {"clip findings", &ClipPart::findings}, {"clip trail", &ClipPart::trail},
      {"clip timer", &ClipPart::timer},       {"clip captions", &ClipPart::captions},
      {"clip voice", &ClipPart::voice},
  };
  for (const auto& [name, member] : kSwitches)
    if (action == name) return member;
  return nullptr;
}

}  // namespace

bool ClipSheet::DoSwitch(const std::string& action) {
  if (bool ClipPart::*const turned = SwitchOf(action))
    ChangePart([&](ClipPart& part) { part.*turned = !(part.*turned); });
  else if (action == "clip fade")
    ChangePart([](ClipPart& part) { part.fade_seconds = NextFade(part.fade_seconds); });
  else if (action == "clip arrow away")
    DropNote();
  else
    return false;
  return true;
}

bool ClipSheet::DoSound(const std::string& action) {
  if (action == "mute") {
    ChangePart([](ClipPart& part) {
      part.sound = part.sound == ClipSound::kMuted ? ClipSound::kOriginal : ClipSound::kMuted;
    });
  } else if (action == "clip sound file") {
    AskSoundFile();
  } else {
    return false;
  }
  return true;
}

void ClipSheet::AskSoundFile() {
  const auto& parts = keeper_.plan().parts;
  if (chosen_ >= parts.size()) return;
  calls_.ask("Sound file under this part", "its path; it is copied into the case; empty: none",
             parts[chosen_].sound_file,
             [this, index = chosen_, folder = keeper_.folder()](const std::string& path) {
               const auto set = [this, index](const std::string& kept) {
                 ClipPlan plan = keeper_.plan();
                 if (index >= plan.parts.size()) return;
                 plan.parts[index].sound = kept.empty() ? ClipSound::kMuted : ClipSound::kFile;
                 plan.parts[index].sound_file = kept;
                 keeper_.Change(std::move(plan));
               };
               if (path.empty()) return set({});
               calls_.jobs.Start(
                   "Copying the sound file",
                   [folder, path](const Progress&, const StopQuery&) {
                     return KeepSoundFile(folder, path.starts_with("clips/") ? folder + "/" + path : path);
                   },
                   [this, folder, set](const Result<std::string>& kept) {
                     if (!kept.ok()) return calls_.say(kept.error().message, true);
                     if (folder == keeper_.folder()) set(*kept);
                   });
             });
}

bool ClipSheet::DoPlan(const std::string& action) {
  if (action != "clip rate") return false;
  ClipPlan plan = keeper_.plan();
  plan.rate = NextRate(plan.rate);
  keeper_.Change(std::move(plan));
  return true;
}

void ClipSheet::ChangeView(const std::function<ClipView(const ClipView&)>& change, bool goes_on) {
  const auto& parts = keeper_.plan().parts;
  if (chosen_ >= parts.size() || parts[chosen_].kind == ClipPartKind::kTitle) return;
  const ClipView next = change(ViewOf(parts[chosen_], view_end_));
  ChangePart([&](ClipPart& part) { SetView(part, view_end_, next); }, goes_on);
}

// The picture whose view is changed is the one that is seen.
void ClipSheet::ShowViewEnd() {
  if (view_end_ == ViewEnd::kBeginning) preview_.JumpToPart(chosen_);
  if (view_end_ == ViewEnd::kEnd) preview_.JumpToEndOfPart(chosen_);
}

bool ClipSheet::DoView(const std::string& action) {
  if (action == "clip view end") {
    view_end_ = NextViewEnd(view_end_);
    ShowViewEnd();
  } else if (action == "zoom in" || action == "zoom out") {
    const double factor = action == "zoom in" ? kNearer : 1 / kNearer;
    ChangeView([&](const ClipView& view) { return ZoomedView(view, factor, view.x, view.y); });
  } else if (action == "fit") {
    ChangeView([](const ClipView&) { return ClipView(); });
  } else if (action == "picture left" || action == "picture right") {
    ChangeView(
        [&](const ClipView& view) { return MovedView(view, action == "picture left" ? -kMove : kMove, 0); });
  } else if (action == "picture up" || action == "picture down") {
    ChangeView(
        [&](const ClipView& view) { return MovedView(view, 0, action == "picture up" ? -kMove : kMove); });
  } else {
    return false;
  }
  return true;
}

// At the frame of the preview where it shows the chosen part, else at the playhead.
void ClipSheet::Freeze(const Scene& scene) {
  ClipPlan plan = keeper_.plan();
  if (chosen_ >= plan.parts.size()) return;
  const PreviewShown shown = preview_.shown();
  const bool seen = preview_.open() && shown.part == chosen_;
  const ClipPart& part = plan.parts[chosen_];
  if (part.case_folder != keeper_.NameOf(folder_))
    return calls_.say("This part is of another case: open that to let it stand still.", true);
  const FrameRef at =
      seen ? FrameShownAt(scene.tables, scene.clock.At(shown.case_seconds + 1e-6)) : scene.player.playhead();
  const std::vector<ClipPart> frozen = Frozen(part, at, kFreezeSeconds, scene.clock);
  if (frozen.size() == 1)
    return calls_.say("The playhead is not within this part: go to the frame at which it is to stand still.",
                      true);
  const auto place = plan.parts.erase(plan.parts.begin() + static_cast<std::ptrdiff_t>(chosen_));
  plan.parts.insert(place, frozen.begin(), frozen.end());
  chosen_ += frozen.size() - 2;  // the still
  keeper_.Change(std::move(plan));
}

void ClipSheet::DropNote() {
  ChangePart([](ClipPart& part) {
    if (!part.notes.empty()) part.notes.pop_back();
  });
}

void ClipSheet::ToggleHold(const Scene& scene) {
  if (!keeper_.held() && !Ready(scene)) return;
  keeper_.Hold(!keeper_.held());
  calls_.say(keeper_.held() ? "This clip stays while other cases are opened: their steps become parts of it"
                            : "The clip of the open case is shown again",
             false);
}

}  // namespace afterscope

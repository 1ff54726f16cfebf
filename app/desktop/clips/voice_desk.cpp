// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/voice_desk.hpp"

#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/jobs/clip/keep_take.hpp"
#include "annotate/jobs/spoken_remark.hpp"
#include "annotate/media/sound_envelope.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <utility>

namespace afterscope {

VoiceDesk::VoiceDesk(const SheetCalls& calls, ClipSpeaker& speaker, Speaking::Opener opener)
    : calls_(calls), speaker_(speaker), speaking_(calls.jobs, std::move(opener)) {}

void VoiceDesk::Load() {
  calls_.jobs.Start(
      "", [folder = folder_](const Progress&, const StopQuery&) { return LoadTakes(folder); },
      [this, alive = alive_, folder = folder_](Result<std::vector<VoiceTake>> takes) {
        if (!*alive || folder != folder_) return;
        if (!takes.ok()) return calls_.say(takes.error().message, true);
        takes_ = std::move(*takes);
        ++revision_;
      });
}

void VoiceDesk::Follow(const Scene& scene) {
  if (folder_ != scene.view.folder) {
    if (active()) End();
    folder_ = scene.view.folder;
    takes_.clear();
    ++revision_;
    if (!folder_.empty()) Load();
  }
  if (!active()) return;
  if (speaking_.MustEnd()) return End();
  if (const double seconds = speaking_.Seconds(); seconds > 0)
    seen_.push_back({seconds, scene.player.playhead()});
  calls_.say(speaking_.Words(), false);
}

void VoiceDesk::Begin(const Scene& scene, const std::string& replaces) {
  if (folder_.empty())
    return calls_.say("A narration belongs to a case: note or tag something first, then it is one.", true);
  spoken_folder_ = folder_;
  spoken_clock_ = scene.clock;
  replaces_ = replaces;
  seen_.clear();
  speaking_.Begin(scene.player.playhead());
}

void VoiceDesk::End() {
  auto spoken = speaking_.End();
  if (!spoken.ok()) return calls_.say(spoken.error().message, true);
  if (seen_.empty()) seen_.push_back({0, spoken->at});
  Keep(std::move(*spoken));
}

void VoiceDesk::Keep(Speaking::Spoken spoken) {
  const double seconds = static_cast<double>(spoken.mono.size()) / kSoundRate;
  const std::string heard = spoken.heard ? "" : "; nothing was heard in it: is the microphone on?";
  calls_.jobs.Start(
      "Keeping the take",
      [folder = spoken_folder_, clock = spoken_clock_, replaces = replaces_, seen = std::move(seen_),
       mono = std::make_shared<std::vector<float>>(std::move(spoken.mono))](
          const Progress&, const StopQuery&) { return KeepTake(folder, *mono, seen, clock, replaces); },
      [this, alive = alive_, seconds, heard](const Result<VoiceTake>& take) {
        if (!*alive) return;
        if (!take.ok()) return calls_.say(take.error().message, true);
        calls_.say(fmt::format("Take at {}, {}{}", ClockText(spoken_clock_.Seconds(take->start()), 1),
                               LengthText(seconds), heard),
                   false);
        Load();
      });
  seen_.clear();
}

const VoiceTake* VoiceDesk::Here(const Scene& scene) const {
  return TakeBefore(takes_, scene.player.playhead());
}

std::vector<ClipPart> VoiceDesk::PartsHere(const Scene& scene) const {
  const VoiceTake* take = Here(scene);
  if (take == nullptr) return {};
  std::vector<ClipPart> parts = PartsOfTake(*take, scene.clock);
  for (ClipPart& part : parts) part.review = scene.view.review.id.value;
  return parts;
}

void VoiceDesk::Change(std::function<Status(const std::string& folder)> work, std::string said) {
  calls_.jobs.Start(
      "",
      [folder = folder_, work = std::move(work)](const Progress&, const StopQuery&) { return work(folder); },
      [this, alive = alive_, said = std::move(said)](const Status& done) {
        if (!*alive) return;
        calls_.say(done.ok() ? said : done.error().message, !done.ok());
        Load();
      });
}

void VoiceDesk::Hear(const VoiceTake& take) {
  calls_.jobs.Start(
      "",
      [path = VoiceFolder(folder_) + "/" + take.file](const Progress&, const StopQuery& stop) {
        return ReadSpoken(path, stop);
      },
      [this, alive = alive_](Result<std::vector<float>> sound) {
        if (!*alive) return;
        if (!sound.ok()) return calls_.say(sound.error().message, true);
        speaker_.PlayAlone(std::move(*sound));
      });
}

void VoiceDesk::AskWords(const VoiceTake& take) {
  calls_.ask("What is said in this take", "for captions; empty: none", take.words,
             [this, alive = alive_, id = take.id](const std::string& words) {
               if (*alive)
                 Change([id, words](const std::string& folder) { return SetTakeWords(folder, id, words); },
                        "The words of the take are kept");
             });
}

bool VoiceDesk::Do(const std::string& action, const Scene& scene) {
  if (action == "narrate" || action == "narrate again") {
    const VoiceTake* take = Here(scene);
    if (active()) {
      End();
    } else if (action == "narrate") {
      Begin(scene, {});
    } else if (take != nullptr) {
      calls_.jump(FrameShownAt(scene.tables, take->start()));
      Begin(scene, take->id);
    } else {
      calls_.say("There is no take at or before this frame.", true);
    }
    return true;
  }
  if (action != "hear take" && action != "words of take" && action != "remove take") return false;
  const VoiceTake* take = Here(scene);
  if (take == nullptr)
    calls_.say("There is no take at or before this frame.", true);
  else if (action == "hear take")
    Hear(*take);
  else if (action == "words of take")
    AskWords(*take);
  else
    Change([id = take->id](const std::string& folder) { return RemoveTake(folder, id); },
           "The take is removed");
  return true;
}

void VoiceDesk::DrawSpoken(const Scene& scene) {
  if (!active()) return;
  const Look& look = scene.look;
  Say(look, speaking_.Words(), look.colours.text, look.fonts.body, true);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x, height = look.Px(8);
  const auto share = static_cast<float>(std::clamp(DrawnHeight(speaking_.Level()), 0.0, 1.0));
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, {at.x + width, at.y + height}, Ink(look.colours.rule), look.Px(3));
  list->AddRectFilled(at, {at.x + width * share, at.y + height}, Ink(look.colours.focus), look.Px(3));
  ImGui::Dummy({width, height + look.Px(2)});
  ButtonRow row(look);
  if (row.Add("End the take", scene.keys.KeyFor("narrate"))) scene.wishes.actions.emplace_back("narrate");
}

void VoiceDesk::DrawTake(const Scene& scene, const VoiceTake& take, bool here) {
  const Look& look = scene.look;
  const Row row = BeginRow(look, ("take " + take.id).c_str(), look.Px(24), here);
  if (row.pressed) calls_.jump(FrameShownAt(scene.tables, take.start()));
  const std::string length = LengthText(take.seconds);
  const float width = look.script->Size(look.fonts.small, length).x;
  RowText(look, row, row.from.x + look.Px(6), ClockText(scene.Seconds(take.start()), 1), look.colours.quiet,
          look.fonts.small);
  const float text_at = row.from.x + look.Px(66);
  RowText(look, row, text_at, take.words.empty() ? "without words" : take.words,
          take.words.empty() ? look.colours.quiet : look.colours.text, look.fonts.body,
          row.to.x - text_at - width - look.Px(14));
  RowTextRight(look, row, row.to.x - look.Px(5), length, look.colours.quiet, look.fonts.small);
  if (row.hovered) scene.wishes.under = take.words;
}

void VoiceDesk::DrawKeys(const Scene& scene, bool take_here) {
  ButtonRow row(scene.look);
  const auto button = [&](const char* words, const char* action) {
    if (row.Add(words, scene.keys.KeyFor(action))) scene.wishes.actions.emplace_back(action);
  };
  button("Narrate from here", "narrate");
  if (!take_here) return;
  button("Speak it again", "narrate again");
  button("Hear it", "hear take");
  button("Its words", "words of take");
  button("Into the clip", "take into clip");
  button("Remove it", "remove take");
}

void VoiceDesk::Draw(const Scene& scene) {
  const Look& look = scene.look;
  Heading(look, takes_.empty()
                    ? "Voice-over"
                    : fmt::format("Voice-over: {} take{}", takes_.size(), takes_.size() == 1 ? "" : "s"));
  const VoiceTake* here = Here(scene);
  if (active())
    DrawSpoken(scene);
  else
    DrawKeys(scene, here != nullptr);
  if (takes_.empty())
    SayQuietly(look,
               "Speak while the recording plays, rests or is moved through; each take stays with the frames "
               "that you looked at. The recording's sound is off meanwhile.");
  for (const VoiceTake& take : takes_) DrawTake(scene, take, here == &take);
}

}  // namespace afterscope

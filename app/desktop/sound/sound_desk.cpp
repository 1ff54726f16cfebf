// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/sound_desk.hpp"

#include "annotate/jobs/spoken_remark.hpp"
#include "app/desktop/look/clock_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <vector>

namespace afterscope {
namespace {

constexpr int kVolumeStep = 10;  // per cent

}  // namespace

SoundDesk::SoundDesk(JobRunner& jobs, const Reel& reel, ViewSettings& settings,
                     const std::function<void()>& wake)
    : jobs_(jobs), reel_(reel), settings_(settings), player_(wake), levels_(jobs, reel), speaking_(jobs, [] {
        return Microphone::Open(kMostSpokenSeconds);
      }) {}

void SoundDesk::Follow(const ActionScene& on, bool silent) {
  FollowPlayer(on, silent);
  FollowSpeaking(on);
}

void SoundDesk::FollowPlayer(const ActionScene& on, bool silent) {
  std::vector<std::shared_ptr<Recording>> recordings;
  if (!on.scene.view.hidden)
    for (const Reel::Item& item : reel_.items()) recordings.push_back(item.recording);
  player_.SetCase(std::move(recordings), on.scene.clock);
  const double volume = settings_.muted || silent ? 0 : settings_.volume_pct / 100.0;
  player_.SetVolume(volume * volume);  // ears hear ratios
  Player& pictures = on.player;
  const double now = on.scene.now;
  const double seconds = pictures.playing() ? pictures.Seconds(now) : on.scene.Seconds(pictures.playhead());
  const bool heard = pictures.playing() && !pictures.backwards();
  if (const auto steered = player_.Follow({seconds, pictures.speed(), heard, pictures.waiting()}))
    pictures.Correct(*steered, now);
  if (const std::string problem = player_.TakeProblem(); !problem.empty()) on.say(problem, true);
}

void SoundDesk::FollowSpeaking(const ActionScene& on) {
  if (!speaking_.active()) return;
  if (speaking_.MustEnd()) return StopSpeaking(on);
  on.say(speaking_.Words(), false);
}

bool SoundDesk::Do(const std::string& action, const ActionScene& on) {
  if (action == "mute" || action == "louder" || action == "softer")
    ChangeVolume(action, on);
  else if (action == "speak")
    StartSpeaking(on);
  else if (action == "hear remark")
    if (const Moment* moment = SpokenBefore(on.scene.view.review, on.player.playhead()))
      Hear(moment->id, on.scene.view, on.say);
    else
      on.say("There is no spoken remark at or before this frame.", false);
  else
    return false;
  return true;
}

void SoundDesk::ChangeVolume(const std::string& action, const ActionScene& on) {
  if (on.scene.view.hidden)
    return on.say("The sound is hidden until this review is signed: voices would tell whose case it is.",
                  false);
  settings_.muted = action == "mute" && !settings_.muted;
  if (action != "mute")
    settings_.volume_pct =
        std::clamp(settings_.volume_pct + (action == "louder" ? kVolumeStep : -kVolumeStep), 0, 100);
  on.say(settings_.muted ? "Sound off" : fmt::format("Sound {} %", settings_.volume_pct), false);
}

// The recording rests meanwhile: its sound would be spoken into.
void SoundDesk::StartSpeaking(const ActionScene& on) {
  if (speaking_.active()) return;
  if (!on.scene.Editable())
    return on.say("A remark needs a recording or case that is open for writing.", true);
  const FrameRef at = on.SeenFrame();
  plays_on_ = on.player.playing();
  on.Pause();
  speaking_.Begin(at);
}

void SoundDesk::Release(const std::string& key, const ActionScene& on) {
  if (speaking_.active() && key == speak_key_) StopSpeaking(on);
}

void SoundDesk::StopSpeaking(const ActionScene& on) {
  auto spoken = speaking_.End();
  if (plays_on_ && !on.player.playing()) on.player.TogglePlay(on.scene.now);
  if (!spoken.ok())
    return on.say(
        spoken.error().message +
            (spoken.error().code == ErrorCode::kBadCall ? " Hold the key down while you speak." : ""),
        true);
  on.say(fmt::format("Spoken remark at {}, {:.1f} s{}", ClockText(on.scene.Seconds(spoken->at), 2),
                     static_cast<double>(spoken->mono.size()) / kSoundRate,
                     spoken->heard ? "" : "; nothing was heard in it: is the microphone on?"),
         false);
  on.desk.Push([spoken = std::make_shared<Speaking::Spoken>(std::move(*spoken))](CaseSession& session) {
    return KeepSpoken(session, spoken->at, spoken->mono);
  });
}

void SoundDesk::Hear(const MomentId& id, const CaseView& view, const SayCall& say) {
  const std::vector<Moment>& moments = view.review.moments;
  const auto moment =
      std::find_if(moments.begin(), moments.end(), [&](const Moment& m) { return m.id == id; });
  const auto file = moment == moments.end() ? std::nullopt : SpokenOf(*moment);
  if (!file) return;
  const std::string path = SpokenFolder(view.folder, view.review.id) + "/" + file->name;
  jobs_.Start(
      "", [path](const Progress&, const StopQuery& stop) { return ReadSpoken(path, stop); },
      [this, &say](Result<std::vector<float>> sound) {
        if (sound.ok())
          player_.PlayAlone(std::move(*sound));
        else
          say(sound.error().message, true);
      });
}

SoundStatus SoundDesk::Status(bool hidden, double speed) const {
  return {levels_.AnySound(), SoundPlayer::Audible(speed), settings_.muted, settings_.volume_pct, hidden};
}

}  // namespace afterscope

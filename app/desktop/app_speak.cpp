// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/spoken_remark.hpp"
#include "app/desktop/app.hpp"
#include "app/desktop/look/clock_text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

// The recording rests meanwhile: its sound would be spoken into.
void App::StartSpeaking() {
  if (speaking_.active()) return;
  if (!desk_ || !MakeScene().Editable())
    return Say("A remark needs a recording or case that is open for writing.", true);
  const FrameRef at = SeenFrame();
  plays_on_ = player_.playing();
  if (plays_on_) player_.Pause(now_);
  speaking_.Begin(at);
}

void App::ReleaseKey(const std::string& key) {
  if (speaking_.active() && key == speak_key_) StopSpeaking();
}

void App::FollowSpeaking() {
  if (!speaking_.active()) return;
  if (speaking_.MustEnd()) return StopSpeaking();
  Say(speaking_.Words(), false);
}

void App::StopSpeaking() {
  auto spoken = speaking_.End();
  if (plays_on_ && !player_.playing()) player_.TogglePlay(now_);
  if (!spoken.ok()) return Say(spoken.error().message, true);
  Say(fmt::format("Spoken remark at {}, {:.1f} s{}", ClockText(clock_.Seconds(spoken->at), 2),
                  static_cast<double>(spoken->mono.size()) / kSoundRate,
                  spoken->heard ? "" : "; nothing was heard in it: is the microphone on?"),
      false);
  desk_->Push([spoken = std::make_shared<Speaking::Spoken>(std::move(*spoken))](CaseSession& session) {
    return KeepSpoken(session, spoken->at, spoken->mono);
  });
}

void App::Hear(const MomentId& id) {
  const std::vector<Moment>& moments = view_->review.moments;
  const auto moment =
      std::find_if(moments.begin(), moments.end(), [&](const Moment& m) { return m.id == id; });
  const auto file = moment == moments.end() ? std::nullopt : SpokenOf(*moment);
  if (!file) return;
  const std::string path = SpokenFolder(view_->folder, view_->review.id) + "/" + file->name;
  jobs_.Start(
      "", [path](const Progress&, const StopQuery& stop) { return ReadSpoken(path, stop); },
      [this, alive = alive_](Result<std::vector<float>> sound) {
        if (!*alive) return;
        if (sound.ok())
          sound_.PlayAlone(std::move(*sound));
        else
          Say(sound.error().message, true);
      });
}

void App::HearRemark() {
  if (const Moment* moment = SpokenBefore(view_->review, player_.playhead()))
    Hear(moment->id);
  else
    Say("There is no spoken remark at or before this frame.", false);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr int kVolumeStep = 10;  // per cent

}  // namespace

// The sound follows the player, and the player's clock the sound.
void App::FollowSound() {
  std::vector<std::shared_ptr<Recording>> recordings;
  if (!view_->hidden)
    for (const Reel::Item& item : reel_.items()) recordings.push_back(item.recording);
  sound_.SetCase(std::move(recordings), clock_);
  const double volume = settings_.muted ? 0 : settings_.volume_pct / 100.0;
  sound_.SetVolume(volume * volume);  // ears hear ratios
  const double seconds = player_.playing() ? player_.Seconds(now_) : clock_.Seconds(player_.playhead());
  const bool heard = player_.playing() && !player_.backwards();
  if (const auto steered = sound_.Follow({seconds, player_.speed(), heard, player_.waiting()}))
    player_.Correct(*steered, now_);
  if (const std::string problem = sound_.TakeProblem(); !problem.empty()) Say(problem, true);
}

void App::ShowVolume() {
  Say(settings_.muted ? "Sound off" : fmt::format("Sound {} %", settings_.volume_pct), false);
}

bool App::DoSound(const std::string& action) {
  if (view_->hidden && (action == "mute" || action == "louder" || action == "softer")) {
    Say("The sound is hidden until this review is signed: voices would tell whose case it is.", false);
    return true;
  }
  if (action == "mute") {
    settings_.muted = !settings_.muted;
  } else if (action == "louder" || action == "softer") {
    settings_.muted = false;
    settings_.volume_pct =
        std::clamp(settings_.volume_pct + (action == "louder" ? kVolumeStep : -kVolumeStep), 0, 100);
  } else if (action == "speak") {
    StartSpeaking();
    return true;
  } else if (action == "hear remark") {
    HearRemark();
    return true;
  } else {
    return false;
  }
  ShowVolume();
  return true;
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_scope.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/sound/sound_levels.hpp"
#include "app/desktop/sound/sound_player.hpp"
#include "app/desktop/sound/speaking.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace afterscope {

// All that is heard and spoken in the window: the sound of the case in time with the player, and spoken
// remarks, made while a key is held and played again. One thread.
class SoundDesk {
 public:
  SoundDesk(JobRunner& jobs, const Reel& reel, ViewSettings& settings, const std::function<void()>& wake);

  // Another case was opened; `cache_folder`: where its sound's levels are kept, empty: nowhere.
  void Forget(const std::string& cache_folder) { levels_.Forget(cache_folder); }
  // Once a frame, after the player was updated: the sound follows it, and its clock the sound. silent:
  // nothing is to be heard now, since it would be spoken into.
  void Follow(const ActionScene& on, bool silent);

  // An action of the key map. False: not one of these.
  bool Do(const std::string& action, const ActionScene& on);
  // The key that a remark is spoken with, once it goes down; once any key goes up.
  void PressedToSpeak(const std::string& key) { speak_key_ = key; }
  void Release(const std::string& key, const ActionScene& on);
  // Keeps what is being spoken in the case it was begun in, which must still be `on`'s; nothing if nobody
  // speaks.
  void EndSpeaking(const ActionScene& on) {
    if (speaking()) StopSpeaking(on);
  }
  // Plays a moment's spoken remark; nothing where it has none.
  void Hear(const MomentId& id, const CaseView& view, const SayCall& say);

  SoundStatus Status(bool hidden, double speed) const;
  SoundLevels& levels() { return levels_; }
  bool speaking() const { return speaking_.active(); }
  std::optional<double> Drift() const { return player_.Drift(); }

 private:
  void FollowPlayer(const ActionScene& on, bool silent);
  void FollowSpeaking(const ActionScene& on);
  void ChangeVolume(const std::string& action, const ActionScene& on);
  void StartSpeaking(const ActionScene& on);
  void StopSpeaking(const ActionScene& on);

  JobScope jobs_;
  const Reel& reel_;
  ViewSettings& settings_;
  SoundPlayer player_;
  SoundLevels levels_;
  Speaking speaking_;
  std::string speak_key_;  // that is held down while a remark is spoken
  bool plays_on_ = false;  // after it
};

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/voice_take.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/clips/clip_speaker.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"
#include "app/desktop/sound/speaking.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

// The voice-over of the open case: takes that are spoken while the recording plays, rests or is moved
// through, each kept with the frames that were on the screen. Their keys are about the take that begins at or
// last before the playhead. One thread; the disk is asked in the background.
class VoiceDesk {
 public:
  VoiceDesk(const SheetCalls& calls, ClipSpeaker& speaker, Speaking::Opener opener);
  ~VoiceDesk() { *alive_ = false; }
  VoiceDesk(const VoiceDesk&) = delete;
  VoiceDesk& operator=(const VoiceDesk&) = delete;

  // Once a frame: the folder of the case that is open, empty for none.
  void Follow(const Scene& scene);
  bool Do(const std::string& action, const Scene& scene);
  void Draw(const Scene& scene);
  // While a take is spoken: how loud it is, and how it ends; else nothing.
  void DrawSpoken(const Scene& scene);
  // A take is being spoken: what else is heard would be spoken into.
  bool active() const { return speaking_.active(); }
  const std::vector<VoiceTake>& takes() const { return takes_; }
  std::uint64_t revision() const { return revision_; }  // counts up when the list has changed
  // Parts of the take at the playhead, for the clip; none: there is no take.
  std::vector<ClipPart> PartsHere(const Scene& scene) const;

 private:
  void Begin(const Scene& scene, const std::string& replaces);
  void End();
  void Keep(Speaking::Spoken spoken);
  void Load();
  // `work` on the disk in the background, then the list anew; `said` once it is done.
  void Change(std::function<Status(const std::string& folder)> work, std::string said);
  void Hear(const VoiceTake& take);
  void AskWords(const VoiceTake& take);
  const VoiceTake* Here(const Scene& scene) const;
  void DrawKeys(const Scene& scene, bool take_here);
  void DrawTake(const Scene& scene, const VoiceTake& take, bool here);

  const SheetCalls& calls_;
  ClipSpeaker& speaker_;
  Speaking speaking_;
  std::string folder_;
  std::vector<VoiceTake> takes_;
  std::uint64_t revision_ = 0;
  // While one is spoken.
  std::string spoken_folder_;
  CaseClock spoken_clock_;
  std::string replaces_;
  std::vector<TakeAnchor> seen_;
  std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);
};

}  // namespace afterscope

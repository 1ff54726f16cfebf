// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/player/play_count.hpp"
#include "app/desktop/player/play_plan.hpp"
#include "app/desktop/player/player_clock.hpp"
#include "app/desktop/player/reel.hpp"
#include "metrics/base/picture.hpp"

#include <functional>
#include <memory>

namespace afterscope {

// Moves the playhead over the reel and gets the picture of the frame it stands on, without ever waiting. The
// playhead is a frame; the clock in seconds only drives it while it plays. One thread.
class Player {
 public:
  // wake: called from any thread when a picture has come.
  Player(Reel& reel, std::function<void()> wake);

  // Once a frame; `clock` places the recordings.
  void Update(const CaseClock& clock, double now);

  void TogglePlay(double now);
  void TogglePlayBackwards(double now);
  void Pause(double now);
  void Faster(double now) { clock_.Faster(now); }
  void Slower(double now) { clock_.Slower(now); }
  void JumpTo(FrameRef at, double now);  // a boundary counts as the frame shown there
  void JumpToSeconds(double seconds, double now);
  void StepBy(std::int64_t frames, double now);  // pauses
  // Stands where another clock says, and plays or rests as that does; before each Update.
  void Drive(double seconds, bool plays, double now);
  // What is played forwards; jumps, steps and playing backwards go anywhere.
  void SetPlan(PlayPlan plan) { plan_ = std::move(plan); }

  // Where the clock stands while it plays, in seconds of the case clock; sound follows it, and being steadier
  // it says where the clock should stand instead.
  double Seconds(double now) const { return clock_.At(now); }
  void Correct(double seconds, double now) { clock_.Correct(seconds, now); }

  FrameRef playhead() const { return playhead_; }
  bool playing() const { return clock_.playing(); }
  bool backwards() const { return clock_.backwards(); }  // while it plays
  bool waiting() const { return clock_.held(); }
  double speed() const { return clock_.speed(); }
  // The picture to show; while the one of the playhead is on its way, one near it.
  const Picture& shown() const { return shown_; }
  // It is a small one (see StandIns), to be shown in the place of the real one.
  bool stands_in() const { return stands_in_; }
  // The picture of exactly the playhead is shown: marks may be set.
  bool exact() const { return !shown_.empty() && !stands_in_ && shown_.frame == playhead_; }
  // What became of the pictures played since the recordings were opened.
  const PlayCount& count() const { return count_; }
  const std::string& problem() const {
    return problem_;
  }  // why the picture did not come; empty: nothing wrong

 private:
  struct Mailbox;
  void Start(bool backwards, double now);
  void Move(FrameRef to, int direction);
  void PlayOn(const CaseClock& clock, const Tables& tables, double now);
  void Fetch();
  void Ask(Recording& recording);
  void ShowNear(const Recording& recording);
  void Show(Picture picture, bool stands_in);
  double Away(FrameRef frame) const;
  bool IsBetter(FrameRef frame) const;
  void TakeMail();

  Reel& reel_;
  std::shared_ptr<Mailbox> mail_;
  PlayerClock clock_;
  CaseClock case_clock_;
  PlayPlan plan_;
  FrameRef playhead_;
  Picture shown_;
  bool stands_in_ = false;
  PlayCount count_;
  std::string problem_;
  std::optional<FrameRef> asked_;   // a request that has not ended
  std::optional<FrameRef> failed_;  // not asked for again while the playhead rests on it
  int direction_ = 0;
};

}  // namespace afterscope

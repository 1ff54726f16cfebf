// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// Where the case clock stands, in seconds, while it plays or rests. Pure: `now` is handed in (seconds of any
// clock that never goes back). Speeds are 1/8, 1/4, 1/2, 1, 2, 4, 8.
class PlayerClock {
 public:
  void SetTotal(double total_seconds, double now);
  // From the start again if it stands at the end; backwards, from the end if it stands at the start.
  void Play(double now, bool backwards = false);
  void Pause(double now);
  void Jump(double seconds, double now);
  void SetSpeed(double speed, double now);
  void Faster(double now);
  void Slower(double now);
  // While held, time stands although it plays: the picture is not there yet.
  void Hold(bool held, double now);
  // Something steadier (sound being heard) says where it stands.
  void Correct(double seconds, double now);

  double At(double now) const;  // 0 to total
  bool playing() const { return playing_; }
  bool held() const { return held_; }
  double speed() const { return speed_; }
  bool backwards() const { return backwards_; }
  // Nothing is left to play in its direction.
  bool AtEnd(double now) const { return backwards_ ? At(now) <= 0 : At(now) >= total_; }

 private:
  void Anchor(double now);
  double anchor_seconds_ = 0;
  double anchor_now_ = 0;
  double total_ = 0;
  double speed_ = 1;
  bool playing_ = false;
  bool backwards_ = false;
  bool held_ = false;
};

}  // namespace afterscope

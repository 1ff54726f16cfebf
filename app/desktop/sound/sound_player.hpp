// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/media/recording.hpp"
#include "app/desktop/sound/sound_mixer.hpp"
#include "app/desktop/sound/sound_output.hpp"

#include <condition_variable>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace afterscope {

// Plays the sound of the case in time with the player's clock, whatever that does. While sound is heard, it
// is the steadier of the two: the clock is told where it stands and follows. Pitch is kept from half to
// twice the normal speed; outside, and backwards, it is silent. Reading and stretching happen on a thread of
// its own, which also opens the device (at the first sound, and never again after it failed). All functions
// from one thread.
class SoundPlayer {
 public:
  // wake: called from any thread when there is something to say.
  explicit SoundPlayer(std::function<void()> wake = {}, SoundOutput::Opener opener = OpenSoundDevice);
  ~SoundPlayer();
  SoundPlayer(const SoundPlayer&) = delete;
  SoundPlayer& operator=(const SoundPlayer&) = delete;

  // Whose sound it is; cheap when nothing has changed.
  void SetCase(std::vector<std::shared_ptr<Recording>> recordings, const CaseClock& clock);
  // 0 to 1; 0 is silent, yet goes on in time.
  void SetVolume(double share) { mixer_.SetVolume(static_cast<float>(share)); }

  // What the player does at this moment, by its own clock. Once a frame of the window.
  struct Playing {
    double seconds = 0;  // of the case clock
    double speed = 1;
    bool plays = false;
    bool waits = false;  // plays, but stands until a picture comes
  };
  // Where the clock should stand instead, a little nearer to what is heard; empty: leave it.
  std::optional<double> Follow(const Playing& playing);

  // At once, in place of one that still plays.
  void PlayAlone(std::vector<float> samples);
  bool PlaysAlone() const { return mixer_.PlaysAlone(); }

  // Sound of that speed can be heard.
  static bool Audible(double speed);
  // How far what is heard is ahead of the clock, in seconds; empty: nothing is heard now.
  std::optional<double> Drift() const { return drift_; }
  // One sentence that the user has not been told yet: no device, sound that can't be read; each only once a
  // case. Empty: nothing.
  std::string TakeProblem();

 private:
  struct Wanted {  // what the thread should do
    std::vector<std::shared_ptr<Recording>> recordings;
    CaseClock clock;
    bool output = false;
    std::optional<std::int64_t> run;
    std::int64_t from_sample = 0;
    double speed = 1;
    std::int64_t generation = 0;  // counts up with every change of recordings or run
  };
  class Reader;

  void Begin(double from_seconds, double speed);
  void Stop();
  bool HasSound() const;
  void WantOutput();
  std::optional<double> Steered(const Playing& playing, double now);
  void Prepare(const Playing& playing, double now);
  void Work();
  void OpenOutput();
  void Tell(const std::string& problem);

  std::function<void()> wake_;
  SoundOutput::Opener opener_;
  SoundMixer mixer_;

  std::vector<std::shared_ptr<Recording>> recordings_;
  CaseClock clock_;
  std::optional<double> run_from_;  // where the present run begins, in seconds
  double run_speed_ = 1;
  double rests_at_ = -1;    // where the clock stood when it was seen at rest
  double rests_since_ = 0;  // SteadySeconds
  bool prepared_ = false;   // for going on from there
  std::optional<double> drift_;
  double steered_at_ = 0;  // SteadySeconds

  mutable std::mutex mutex_;
  std::condition_variable changed_;
  Wanted wanted_;
  bool closing_ = false;
  std::vector<std::string> told_;
  std::string problem_;

  bool output_tried_ = false;            // on the thread
  std::unique_ptr<SoundOutput> output_;  // on the thread
  std::thread thread_;
};

}  // namespace afterscope

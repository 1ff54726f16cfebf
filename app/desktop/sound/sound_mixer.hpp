// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/sound/sound_ring.hpp"

#include <cstdint>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <vector>

namespace afterscope {

// Where the player's clock stands: at `seconds` of the case at the time `at` (SteadySeconds), going on with
// `speed` unless it rests.
struct ClockReading {
  double seconds = 0;
  double at = 0;
  double speed = 1;
  bool goes = false;
  double SecondsAt(double time) const { return seconds + (goes ? (time - at) * speed : 0); }
};

// Decides what is heard when: the case's sound as a run of samples that begins at a known place of the case
// clock and is begun exactly when the clock gets there, and over it, now and then, a sound alone (a spoken
// remark). Thread-safe; the output's thread calls Fill, which never waits for long.
class SoundMixer {
 public:
  static constexpr std::size_t kRingFrames = kSoundRate;  // a second

  void SetClock(const ClockReading& clock);
  void SetVolume(float share);  // 0 to 1

  // A new run: its first sample is that of `from_sample` of the case clock. What waited is dropped. Returns
  // the run's number.
  std::int64_t Begin(std::int64_t from_sample, double speed);
  // No case sound any more.
  void End();
  // Frames that fit now; 0 if the run is not the present one any more.
  std::size_t Room(std::int64_t run) const;
  void Put(std::int64_t run, std::span<const float> frames);
  // A sound by itself, at once, in place of one that still plays; the case's sound is lowered meanwhile.
  void PlayAlone(std::vector<float> samples);
  bool PlaysAlone() const;

  // Second of the case whose sound is heard at that time; empty while none of the run has been heard yet.
  std::optional<double> HeardAt(double time) const;

  void Fill(std::span<float> out, double heard_at);

 private:
  std::size_t FramesToWait(double heard_at, std::size_t frames);
  void AddRun(std::span<float> out, double heard_at);
  void AddAlone(std::span<float> out);
  double SecondsOfFrame(double frame) const;

  mutable std::mutex mutex_;
  ClockReading clock_;
  float volume_ = 1;
  std::optional<std::int64_t> run_;  // the present run's number
  std::int64_t last_run_ = 0;
  std::int64_t from_sample_ = 0;
  double speed_ = 1;
  SoundRing ring_{kRingFrames};
  bool begun_ = false;       // something of the run was handed to the output
  std::int64_t played_ = 0;  // frames of the run taken from the ring so far
  struct Handed {            // the latest part of the run that was handed to the output
    double heard_at = 0;
    std::int64_t first = 0;
    std::int64_t count = 0;
  };
  std::optional<Handed> handed_;
  float level_ = 0;  // goes to the volume without a click
  std::vector<float> alone_;
  std::size_t alone_at_ = 0;
};

}  // namespace afterscope

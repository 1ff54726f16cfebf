// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/recording.hpp"
#include "annotate/store/file_system.hpp"

#include <string>
#include <vector>

namespace afterscope {

// How loud the sound of a short stretch is, as shares of full scale, 0 to 1.
struct SoundLevel {
  float peak = 0;  // the largest sample of either channel
  float rms = 0;   // root of the mean square over both channels
  friend bool operator==(const SoundLevel&, const SoundLevel&) = default;
};

// How loud a recording is over its whole length: level i is of the samples [i, i + 1) * kStep since its first
// frame. Immutable once made.
struct SoundEnvelope {
  static constexpr int kStep = kSoundRate / 50;  // 20 ms
  std::vector<SoundLevel> levels;                // empty: the recording has no sound
};

// Over [from, to) in seconds since the first frame, widened to whole steps: the largest peak, and the root of
// the mean square. Zero outside the recording and where the stretch is empty.
SoundLevel LevelOver(const SoundEnvelope& envelope, double from_seconds, double to_seconds);

// How high a level is drawn, 0 to 1: in decibels of full scale, from -60 to 0, since ears hear so.
double DrawnHeight(float level);

// Reads all sound of a recording in a helper of its own that leaves the processors to others; blocks.
// Stretches on which the decoder fails count as silence, unless nearly all do. kUnreadable, kStopped.
Result<SoundEnvelope> MakeSoundEnvelope(const Recording& recording, const Progress& progress,
                                        const StopQuery& stop);

// Kept envelopes in a folder (a case's own cache), found again by what the recording's file holds; numbers
// only. Levels are kept to half a decibel. Together they take at most kMostBytes: the oldest go first. One
// that can't be kept or read is made again. Thread-compatible.
class SoundEnvelopeStore {
 public:
  static constexpr std::int64_t kMostBytes = 16 << 20;

  SoundEnvelopeStore(std::string folder, FileSystem& files) : folder_(std::move(folder)), files_(files) {}
  std::optional<SoundEnvelope> Load(const Recording& recording) const;
  void Save(const Recording& recording, const SoundEnvelope& envelope) const;

 private:
  std::string PathFor(const Recording& recording) const;  // empty: the file can't be looked at
  void MakeRoom(std::int64_t bytes) const;

  std::string folder_;
  FileSystem& files_;
};

}  // namespace afterscope

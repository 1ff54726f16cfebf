// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/media/sound_envelope.hpp"
#include "app/common/job_scope.hpp"
#include "app/desktop/player/reel.hpp"

#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// How loud the open case is, made in the background once it is wanted and kept in the case's cache folder.
// One thread (the one that drains `jobs`).
class SoundLevels {
 public:
  SoundLevels(JobRunner& jobs, const Reel& reel) : jobs_(jobs), reel_(reel) {}

  // Another case was opened; `cache_folder` empty: nothing is kept on disk.
  void Forget(const std::string& cache_folder);
  // Once a frame while the levels are to be seen: makes what is missing, one recording after another.
  void Want();
  // Whether all is known that can be known.
  bool Settled() const;
  // Null: not known yet, or no such recording. No levels in it: the recording has no sound.
  std::shared_ptr<const SoundEnvelope> Of(int recording) const;
  bool busy() const { return job_ && !job_->ended(); }
  // Whether any open recording may have sound.
  bool AnySound() const;
  // One sentence where a recording's sound can't be read; empty: nothing wrong.
  const std::string& problem() const { return problem_; }

 private:
  struct Item {
    std::shared_ptr<const Recording> recording;
    RecordingShape shape;  // that its levels were made with
    std::shared_ptr<const SoundEnvelope> envelope;
    bool failed = false;
  };
  bool IsMissing(std::size_t i);
  void Make(std::size_t i);

  JobScope jobs_;
  const Reel& reel_;
  std::string cache_folder_;
  std::vector<Item> items_;
  JobHandle job_;
  std::string problem_;
};

// How loud the case is all along, in so many pieces, each as DrawnHeight draws its peak.
std::vector<double> DrawnLevels(const SoundLevels& levels, const CaseClock& clock, std::size_t pieces);

// The level over [from, to) of the case clock, across recordings; zero where nothing is known.
SoundLevel LevelOver(const SoundLevels& levels, const CaseClock& clock, double from_seconds,
                     double to_seconds);

}  // namespace afterscope

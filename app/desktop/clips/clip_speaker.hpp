// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/clip_plan.hpp"
#include "app/desktop/sound/sound_mixer.hpp"
#include "app/desktop/sound/sound_output.hpp"

#include <condition_variable>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace afterscope {

// Plays the sound of a clip plan as the export would mix it, in time with a preview, and sounds alone.
// Reading and mixing happen on a thread of its own, which also opens the device, at the first sound.
// Thread-safe.
class ClipSpeaker {
 public:
  explicit ClipSpeaker(SoundOutput::Opener opener = OpenSoundDevice);
  ~ClipSpeaker();
  ClipSpeaker(const ClipSpeaker&) = delete;
  ClipSpeaker& operator=(const ClipSpeaker&) = delete;

  // From that second of the clip on, which is shown now. `plan` is of that case folder.
  void Start(const std::string& case_folder, const ClipPlan& plan, double from_seconds);
  void Stop();
  // At once, in place of one that still plays.
  void PlayAlone(std::vector<float> samples);
  void SetVolume(double share) { mixer_.SetVolume(static_cast<float>(share)); }
  // One sentence where nothing is heard: no device, sound that can't be read; empty: nothing wrong.
  std::string problem() const;

 private:
  struct Wanted {
    std::string folder;
    ClipPlan plan;
    std::int64_t run = 0;
    std::int64_t from = 0;  // sample of the clip
  };
  class Feed;

  void Work();
  void OpenOutput();
  void Tell(const std::string& problem);

  SoundOutput::Opener opener_;
  SoundMixer mixer_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  bool closing_ = false;
  bool needs_output_ = false;
  std::shared_ptr<const Wanted> wanted_;
  std::string problem_;
  std::unique_ptr<SoundOutput> output_;  // on the thread
  std::thread thread_;
};

}  // namespace afterscope

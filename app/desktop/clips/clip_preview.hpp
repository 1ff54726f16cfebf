// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/clip_plan.hpp"
#include "metrics/base/picture.hpp"

#include <condition_variable>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

namespace afterscope {

class ClipSource;
class ClipSpeaker;
class ClipSchedule;

// What the preview shows now.
struct PreviewShown {
  Picture picture;  // empty: not there yet
  std::int64_t frame = 0;
  std::int64_t frames = 0;
  std::size_t part = 0;
  double seconds = 0;
  double into_part = 0;     // seconds of the clip
  double case_seconds = 0;  // on the clock of the part's case
  double total_s = 0;
  bool playing = false;
  std::string problem;  // one sentence where it can't be shown
};

// Plays a clip plan as the export would make it: each picture comes from DrawClipFrame, in the clip's own
// size or smaller. While it plays there are as many frames as this machine manages, in the right time, with
// their sound. Works on a thread of its own. Methods from one thread.
class ClipPreview {
 public:
  // wake: from any thread, a new picture is there.
  // speaker: plays the sound; null: silent. It outlives the preview.
  explicit ClipPreview(std::function<void()> wake, ClipSpeaker* speaker = nullptr);
  ~ClipPreview();
  ClipPreview(const ClipPreview&) = delete;
  ClipPreview& operator=(const ClipPreview&) = delete;

  // Shows a plan of a case folder; one that was changed stays where it was.
  void Open(const std::string& case_folder, const ClipPlan& plan);
  void Close();
  bool open() const { return open_; }
  // How high it is shown, in pixels: no picture need be larger.
  void FitHeight(int height);
  void TogglePlay();
  void StepBy(std::int64_t frames);
  void JumpTo(double share);  // of the whole
  void JumpToPart(std::size_t part);
  void JumpToEndOfPart(std::size_t part);
  PreviewShown shown() const;

 private:
  void Work();
  bool Load(std::unique_lock<std::mutex>& lock);
  void ShowOne(std::unique_lock<std::mutex>& lock);
  void Play(std::unique_lock<std::mutex>& lock);
  void Publish(const Picture& picture, std::int64_t frame);
  void Ask(std::int64_t frame);

  void GoToPart(std::size_t part, bool end);
  void Hear(double from_seconds);

  const std::function<void()> wake_;
  ClipSpeaker* const speaker_;
  bool open_ = false;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  bool closing_ = false;
  std::uint64_t asked_ = 0;  // counts up with everything that is asked for
  std::uint64_t plan_version_ = 0;
  std::string folder_;
  ClipPlan plan_;
  std::int64_t wanted_ = 0;
  std::size_t wanted_part_ = SIZE_MAX;  // as soon as the schedule is known
  bool wanted_end_ = false;             // its last frame, else the first that no fade darkens
  bool playing_ = false;
  int height_ = 1 << 15;
  PreviewShown shown_;
  // On the thread only.
  std::uint64_t loaded_version_ = 0;
  ClipPlan loaded_;
  std::string loaded_folder_;
  std::unique_ptr<ClipSource> source_;
  std::unique_ptr<ClipSchedule> schedule_;
  std::thread thread_;
};

}  // namespace afterscope

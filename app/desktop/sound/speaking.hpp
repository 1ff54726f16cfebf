// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"
#include "app/desktop/sound/microphone.hpp"
#include "metrics/base/time.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A remark that is being spoken while a key is held. One thread (the one that drains `jobs`).
class Speaking {
 public:
  using Opener = std::function<Result<std::unique_ptr<Microphone>>()>;
  explicit Speaking(JobRunner& jobs, Opener opener);
  ~Speaking() { *alive_ = false; }

  // The key went down: opens the microphone in the background. Nothing happens while one is being spoken.
  void Begin(FrameRef at);
  bool active() const { return active_; }
  // What the user should see meanwhile: how long, how loud.
  std::string Words() const;
  // Of what was spoken so far; 0 while the microphone is being opened.
  double Seconds() const { return microphone_ ? microphone_->Seconds() : 0; }
  float Level() const { return microphone_ ? microphone_->Level() : 0; }
  // Ended by itself: there is no microphone, or it has lasted as long as it may.
  bool MustEnd() const;

  // The key went up. One sentence where nothing can be kept: too short, no microphone.
  struct Spoken {
    FrameRef at;
    std::vector<float> mono;
    bool heard = false;  // anything louder than silence
  };
  Result<Spoken> End();

 private:
  JobRunner& jobs_;
  Opener opener_;
  bool active_ = false;
  FrameRef at_;
  std::unique_ptr<Microphone> microphone_;
  std::string problem_;
  std::uint64_t turn_ = 0;  // a microphone that was opened for an earlier one is let go
  std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);
};

}  // namespace afterscope

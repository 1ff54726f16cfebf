// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/play_count.hpp"

#include <cstdlib>

namespace afterscope {

void PlayCount::Look(FrameRef playhead, std::optional<std::int64_t> index, bool exact) {
  if (last_ && last_->at == playhead) {
    last_->exact = last_->exact || exact;
    return;
  }
  const std::optional<Frame> before = last_;
  End();
  last_ = {playhead, index, exact};
  if (before && before->at.recording == playhead.recording && before->index && index &&
      *before->index != *index)
    passed_over_ += std::abs(*index - *before->index) - 1;
}

void PlayCount::End() {
  if (last_) ++(last_->exact ? shown_ : late_);
  last_.reset();
}

}  // namespace afterscope

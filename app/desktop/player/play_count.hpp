// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/time.hpp"

#include <cstdint>
#include <optional>

namespace afterscope {

// What became of the pictures of the stretches that were played. Pure.
class PlayCount {
 public:
  // Once for each picture of the window while it plays: the frame at the playhead, its number in its
  // recording (empty: not known), and whether its own picture is on the screen.
  void Look(FrameRef playhead, std::optional<std::int64_t> index, bool exact);
  // It no longer plays.
  void End();

  std::int64_t shown() const { return shown_; }
  std::int64_t late() const { return late_; }  // not there before the playhead had left the frame
  // The window drew too seldom for them: at more than its own rate of pictures by design, else because it is
  // slow.
  std::int64_t passed_over() const { return passed_over_; }

 private:
  struct Frame {
    FrameRef at;
    std::optional<std::int64_t> index;
    bool exact = false;
  };
  std::optional<Frame> last_;
  std::int64_t shown_ = 0;
  std::int64_t late_ = 0;
  std::int64_t passed_over_ = 0;
};

}  // namespace afterscope

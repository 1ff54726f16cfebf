// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/recording.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace afterscope {

// A small copy of a recording in which decoding can start every few frames, for showing something near while
// the real frame is on its way. Frames are named by the recording's own timestamps. Thread-safe once open.
class LightCopy {
 public:
  // Whether jumps in the recording take so long that a copy is worth its making; by the best table so far.
  static bool IsWorthwhile(const Recording& recording);
  // How large a copy will be, roughly, in bytes.
  static std::int64_t ExpectedBytes(const Recording& recording);
  // Makes the file, whole or not at all. Blocks for about a quarter of the recording's duration; works at low
  // priority.
  static Status Make(const Recording& recording, const std::string& path, const Progress& progress,
                     const StopQuery& stop);
  static Result<std::unique_ptr<LightCopy>> Open(const Recording& recording, const std::string& path);

  // The nearest picture of the copy that is decoded already; asks for the right one, where that is not:
  // `wake` is called when it has come.
  std::optional<Picture> Nearest(Pts pts, const std::function<void()>& wake);

 private:
  LightCopy(std::unique_ptr<Recording> copy, const Recording& recording);

  std::unique_ptr<Recording> copy_;
  Pts first_;         // of the recording, which is time 0 of the copy
  double scale_ = 1;  // ticks of the copy in one of the recording's
  std::optional<Pts> asked_;
};

}  // namespace afterscope

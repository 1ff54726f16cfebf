// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper_messages.hpp"
#include "annotate/platform/helper_process.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// How a helper opens a recording.
struct HelperTask {
  std::string path;  // absolute
  MediaLimits limits;
  int threads = 0;               // 0: by the machine
  bool background = false;       // leaves the processors to others
  bool sound = false;            // the sound stream instead of the pictures
  std::vector<ClockTurn> turns;  // of sound: where the clock jumps back
};

// One helper process with a recording open in it. Thread-compatible, but for its pictures: they may be let go
// of in any thread.
class HelperClient {
 public:
  // Starts the process and opens the recording. kUnreadable with a whole sentence, kStopped.
  static Result<std::unique_ptr<HelperClient>> Open(const HelperTask& task, const StopQuery& stop);
  ~HelperClient();  // ends the process; pictures on loan stay as they are
  HelperClient(const HelperClient&) = delete;
  HelperClient& operator=(const HelperClient&) = delete;

  const OpenedFile& file() const { return file_; }
  // False once the process has ended.
  bool Send(std::string_view message);
  // The next message. Fails with kUnreadable when the helper ended, or was ended because it said nothing for
  // as long as the limits allow.
  Result<std::string> Receive(const StopQuery& stop);

  // A view of a picture that a message describes, given back to the helper when the last copy goes; empty if
  // the description makes no sense.
  Picture Borrow(const PictureLayout& layout) const;
  // Of a borrowed picture's decoder planes.
  Result<std::string> Md5(std::int64_t id, const StopQuery& stop);
  int pid() const;

 private:
  struct Process;
  Result<std::string> ReceiveNew(const StopQuery& stop);
  explicit HelperClient(HelperTask task) : task_(std::move(task)) {}

  HelperTask task_;
  std::shared_ptr<Process> process_;  // shared with the pictures on loan
  OpenedFile file_;
  std::deque<std::string> aside_;  // messages that came while waiting for another one
};

}  // namespace afterscope

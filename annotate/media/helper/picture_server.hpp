// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/frame_decoder.hpp"
#include "annotate/media/helper/frame_picture.hpp"
#include "annotate/platform/helper_process.hpp"

#include <condition_variable>
#include <deque>
#include <functional>
#include <map>
#include <mutex>
#include <string>
#include <vector>

namespace afterscope {

// The pictures that were sent and not yet given back. Thread-safe: sent by the working thread, given back and
// hashed by the listening one.
class LentPictures {
 public:
  // Waits until fewer than `most` are lent; false if `interrupted` says so first.
  bool WaitForRoom(std::size_t most, const std::function<bool()>& interrupted);
  std::int64_t Lend(AvPtr<AVFrame> shared, AvPtr<AVFrame> decoded);
  void GiveBack(std::int64_t id);
  std::string Md5(std::int64_t id);
  void Wake();

 private:
  struct Lent {
    AvPtr<AVFrame> shared;
    AvPtr<AVFrame> decoded;
  };
  std::mutex mutex_;
  std::condition_variable changed_;
  std::map<std::int64_t, Lent> lent_;
  std::int64_t next_id_ = 1;
};

// Whether work that nobody waits for is to stand still. Thread-safe.
class Hold {
 public:
  void Set(bool held);
  // Returns once it is not held, or `interrupted` says so; calls `alive` every moment until then.
  void Wait(const std::function<bool()>& interrupted, const std::function<void()>& alive);

 private:
  std::mutex mutex_;
  std::condition_variable changed_;
  bool held_ = false;
};

// What the helper's working thread needs to serve pictures, packets and tables.
struct PictureServer {
  HelperChannel& channel;
  SharedArena& arena;
  LentPictures& lent;
  Hold& hold;
  std::function<bool()> interrupted;  // a newer command waits
  std::unique_ptr<FrameDecoder> decoder;
  RecordingInfo info;

  // Sends pictures of a run from a start point on.
  void Serve(std::int64_t run, const StartPoint& start);
  void ServeKeys(const std::vector<std::int64_t>& times);
  void Scan();
  void Verify();

 private:
  void SendDone(std::int64_t bad_ordinal);
  bool Send(std::int64_t run, FramePictures& pictures, AVFrame& frame, const DecodedFrame& about);
};

}  // namespace afterscope

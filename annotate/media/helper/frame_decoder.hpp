// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/media_file.hpp"
#include "annotate/media/helper/shared_frames.hpp"

#include <memory>
#include <set>
#include <string>

namespace afterscope {

// Frames of a recording in display order, as the library's decoder gives them. Thread-compatible.
class FrameDecoder {
 public:
  // `threads` 0: as many as there are processors and one more, as the ffmpeg program does.
  static Result<std::unique_ptr<FrameDecoder>> Open(const std::string& path, const MediaLimits& limits,
                                                    int threads, SharedArena& arena);

  // Goes to a start point. False: it was not found there; go to another before going on.
  Result<bool> Start(const StartPoint& start);
  // The next frame and what is said of it; false at the end.
  bool Next(AVFrame& frame, DecodedFrame& about);
  // The last key frame not after `pts`, decoded alone; false if there is none, it can't be, or it is one of
  // `known`. Start anew before going on.
  bool KeyFrame(std::int64_t pts, const std::set<std::int64_t>& known, AVFrame& frame, DecodedFrame& about);
  // The next packet, without decoding it.
  bool NextPacket(AVPacket& packet);
  MediaFile& file() { return *file_; }
  // As in DecodedFrame, after the last frame.
  std::int64_t bad_ordinal() const { return bad_ordinal_; }

 private:
  FrameDecoder() = default;
  Status OpenFile();
  Status OpenDecoder();
  bool Feed();
  DecodedFrame Describe(const AVFrame& frame);
  void NoteBad();

  std::string path_;
  MediaLimits limits_;
  int threads_ = 0;
  DecodeBuffers buffers_;
  std::unique_ptr<MediaFile> file_;
  AvPtr<AVCodecContext> decoder_;
  AvPtr<AVPacket> packet_{av_packet_alloc()};
  std::int64_t ordinal_ = 0;  // of the next packet
  bool ordinals_known_ = true;
  bool untouched_ = true;  // freshly opened
  bool draining_ = false;
  std::int64_t bad_ordinal_ = -1;  // of the first packet since the last frame that was not decoded cleanly
  std::int64_t errors_seen_ = 0;   // by CountDecoderErrors
};

// From now on counts the errors that decoders log, in any thread: with several threads that is the only sign
// of some kinds of damage. Nothing is printed.
void CountDecoderErrors();

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <string>

#include "annotate/media/helper/media_file.hpp"
#include "annotate/media/helper/shared_frames.hpp"

namespace afterscope {

// Frames of a recording in display order, as the library's decoder gives them. Thread-compatible.
class FrameDecoder {
 public:
  // `threads` 0: as many as there are processors and one more, as the ffmpeg program does.
  static Result<std::unique_ptr<FrameDecoder>> Open(const std::string& path, const MediaLimits& limits, int threads,
                                                    SharedArena& arena);

  // Goes to a start point. False: it was not found there; go to another before going on.
  Result<bool> Start(const StartPoint& start);
  // The next frame and what is said of it; false at the end.
  bool Next(AVFrame& frame, DecodedFrame& about);
  // The next packet, without decoding it.
  bool NextPacket(AVPacket& packet);
  MediaFile& file() { return *file_; }

 private:
  FrameDecoder() = default;
  Status OpenFile();
  Status OpenDecoder();
  bool Feed();

  std::string path_;
  MediaLimits limits_;
  int threads_ = 0;
  DecodeBuffers buffers_;
  std::unique_ptr<MediaFile> file_;
  AvPtr<AVCodecContext> decoder_;
  AvPtr<AVPacket> packet_{av_packet_alloc()};
  std::int64_t ordinal_ = 0;      // of the next packet
  bool ordinals_known_ = true;
  bool untouched_ = true;         // freshly opened
  bool draining_ = false;
  bool complaint_ = false;        // an error since the last frame
};

}  // namespace afterscope

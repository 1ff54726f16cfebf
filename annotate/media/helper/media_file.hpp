// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/av.hpp"
#include "annotate/media/helper_messages.hpp"
#include "metrics/base/result.hpp"

#include <atomic>
#include <chrono>
#include <memory>
#include <string>

namespace afterscope {

// The time that the libraries may still take; they ask often.
class Patience {
 public:
  void Begin(double seconds);
  bool Over() const { return std::chrono::steady_clock::now() > until_; }

 private:
  std::chrono::steady_clock::time_point until_{};
};

// A recording opened for reading packets, with the limits set. Thread-compatible.
class MediaFile {
 public:
  enum class Want { kPictures, kSound };

  // An error is the end of a sentence: why it can't be opened. sound_track: which of SoundTracks.
  static Result<std::unique_ptr<MediaFile>> Open(const std::string& path, const MediaLimits& limits,
                                                 Want want, int sound_track = 0);

  AVFormatContext& format() { return *format_; }
  AVStream& stream() { return *stream_; }

  // Goes to a start point, so that the next packet is its; false if that packet is not found. The beginning
  // is reached by a fresh MediaFile, not by this.
  bool Seek(const StartPoint& start);
  // The next packet of the wanted stream; false at the end. read_errors() counts what the container could not
  // deliver. A packet that is larger than the limit comes without its bytes and marked as corrupt, which
  // every decoder refuses; too_large() counts them.
  bool Next(AVPacket& packet);
  int read_errors() const { return read_errors_; }
  int too_large() const { return too_large_; }
  // Of the packet that Seek found, until it is taken; kNoTicks: none.
  std::int64_t found_pts() const;

 private:
  MediaFile() = default;
  bool SeekByTime(std::int64_t pts);
  bool SeekKey(std::int64_t jump, std::int64_t pts);
  bool SeekToPacket(const StartPoint& start);
  bool Jump(std::int64_t target, int flags);
  void Limit(AVPacket& packet);

  MediaLimits limits_;
  std::unique_ptr<Patience> patience_ = std::make_unique<Patience>();  // the library keeps its address
  AvPtr<AVFormatContext> format_;
  AVStream* stream_ = nullptr;
  AvPtr<AVPacket> held_;  // read ahead by Seek
  int read_errors_ = 0;
  int too_large_ = 0;
};

PacketRecord Describe(const AVPacket& packet);
// What the parent wants to know of a freshly opened file.
OpenedFile Describe(MediaFile& file);

}  // namespace afterscope

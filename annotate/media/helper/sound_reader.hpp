// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/media_file.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// The sound of a recording as stereo, by the file's own clock. Thread-compatible.
class SoundReader {
 public:
  static constexpr int kChannels = 2;

  static Result<std::unique_ptr<SoundReader>> Open(const std::string& path, const MediaLimits& limits);
  int sample_rate() const { return rate_; }

  // Interleaved samples of [from, to) in seconds of the file's clock; silence where there is none.
  std::vector<float> Read(double from, double to);

 private:
  SoundReader() = default;
  Status OpenDecoder();
  void GoTo(std::int64_t sample);
  bool DecodeMore();
  void Append(const AVFrame& frame);
  std::vector<float> Resampled(const AVFrame& frame);
  std::int64_t buffer_end() const {
    return buffer_start_ + static_cast<std::int64_t>(buffer_.size()) / kChannels;
  }

  std::unique_ptr<MediaFile> file_;
  AvPtr<AVCodecContext> decoder_;
  AvPtr<SwrContext> resampler_;
  AvPtr<AVPacket> packet_{av_packet_alloc()};
  AvPtr<AVFrame> frame_{av_frame_alloc()};
  int rate_ = 0;
  bool ended_ = false;
  bool placed_ = false;            // buffer_start_ is known
  std::int64_t buffer_start_ = 0;  // in samples since time 0 of the file's clock
  std::vector<float> buffer_;
};

}  // namespace afterscope

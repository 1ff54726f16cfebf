// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/media_file.hpp"
#include "annotate/media/helper/placed_sound.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// The sound of a recording in the program's one form (sound_format.hpp), sample 0 at time zero of the file's
// own clock, with the clock's jumps back taken out (ClockTurn). Of several tracks the first in which anything
// is heard near its beginning, else the first. What can't be decoded is silence. Thread-compatible.
class SoundReader {
 public:
  static Result<std::unique_ptr<SoundReader>> Open(const std::string& path, const MediaLimits& limits,
                                                   std::vector<ClockTurn> turns);

  // Interleaved samples [first, first + count); silence where there is none. `alive` is called now and then.
  std::vector<float> Read(std::int64_t first, std::int64_t count, const std::function<void()>& alive);

 private:
  SoundReader(std::string path, const MediaLimits& limits, std::vector<ClockTurn> turns)
      : path_(std::move(path)), limits_(limits), turns_(std::move(turns)) {}
  Status OpenTrack(int track);
  Status OpenDecoder();
  bool IsHeard();
  void GoTo(std::int64_t sample);
  bool SeekBefore(double seconds);
  bool DecodeMore();
  std::optional<double> SecondsOf(const AVFrame& frame);

  std::string path_;
  MediaLimits limits_;
  std::vector<ClockTurn> turns_;  // in order of position
  int track_ = 0;
  std::unique_ptr<MediaFile> file_;
  AvPtr<AVCodecContext> decoder_;
  AvPtr<AVPacket> packet_{av_packet_alloc()};
  AvPtr<AVFrame> frame_{av_frame_alloc()};
  PlacedSound placed_;
  double turned_ = 0;  // seconds added to the last frame's timestamp
  bool ended_ = false;
  std::optional<std::int64_t> end_;  // the sample after the last one of the track, once it was read to there
  std::int64_t held_from_ = INT64_MIN;  // from this sample on, what was decoded is all there is
};

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/picture.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

enum class WrittenVideo { kH264, kMpeg2, kVp9 };
enum class WrittenContainer { kMp4, kMpegTs, kMpegPs, kWebM };

// A named stretch that players offer to go to; in seconds, in order.
struct WrittenChapter {
  double start = 0, end = 0;
  std::string title;
};

struct VideoSettings {
  WrittenVideo codec = WrittenVideo::kH264;
  WrittenContainer container = WrittenContainer::kMp4;
  int width = 0;
  int height = 0;
  PixelFormat format = PixelFormat::kYuv420;
  Rational time_base{1, 90000};  // of the timestamps that come with the pictures
  Rational frame_rate{25, 1};    // nominal; MPEG-2 writes it, H.264 only plans its rate by it
  Rational pixel_aspect{1, 1};
  ColorMatrix matrix = ColorMatrix::kBt709;  // written as tags
  ColorRange range = ColorRange::kLimited;
  FieldOrder fields = FieldOrder::kProgressive;
  std::string preset = "veryfast";    // of the H.264 encoder
  int crf = 20;                       // H.264, VP9: constant quality, lower is better
  std::int64_t bit_rate = 6'000'000;  // MPEG-2: bits a second
  int key_interval = 50;              // pictures, at most
  int b_pictures = 2;
  int threads = 1;                       // 0: as many as the machine has
  std::vector<WrittenChapter> chapters;  // MP4 and WebM
};

struct SoundSettings {
  int sample_rate = 48000;
  int channels = 1;
  std::int64_t bit_rate = 96'000;
};

// Encodes pictures and sound into one file: H.264, MPEG-2 or VP9 with AAC (MPEG audio layer II in a program
// stream, Opus in WebM). It writes under a temporary name beside `path` and takes that name in Finish, so
// that `path` is whole or as it was before; destroyed unfinished, it removes what it wrote. No metadata but
// what decoding needs. One thread at a time.
class VideoWriter {
 public:
  static Result<std::unique_ptr<VideoWriter>> Create(const std::string& path, const VideoSettings& video,
                                                     const std::optional<SoundSettings>& sound,
                                                     FileSystem& files = RealFileSystem());
  ~VideoWriter();
  VideoWriter(const VideoWriter&) = delete;
  VideoWriter& operator=(const VideoWriter&) = delete;

  // The next picture, of the size and format of the settings, shown at `pts` (ticks of the settings' time
  // base, growing) for `duration`. The pixels are shared, not copied.
  Status WritePicture(const Picture& picture, Pts pts, TickSpan duration);
  // The next samples, interleaved, -1 to 1; the first belongs to timestamp 0. Keep sound within a few seconds
  // of the pictures.
  Status WriteSound(std::span<const float> samples);
  // Encodes what is left, closes the container, syncs and renames. At most once; nothing can be written after
  // it.
  Status Finish();
  // The same, but fails where anything is at `path` by now, which stays.
  Status FinishIfFree();

 private:
  struct State;
  explicit VideoWriter(std::unique_ptr<State> state);
  Status End();
  std::unique_ptr<State> state_;
};

}  // namespace afterscope

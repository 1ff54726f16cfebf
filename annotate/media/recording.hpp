// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/media/frame_table.hpp"
#include "annotate/media/media_limits.hpp"
#include "annotate/media/sound_format.hpp"
#include "metrics/base/picture.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct SoundInfo {
  std::string codec;
  int sample_rate = 0;
  int channels = 0;
};

// What a recording is, from its header; what it declares may be wrong.
struct RecordingInfo {
  std::string path;
  std::string container;
  std::string codec;
  std::string pixel_format;  // as the decoder names it
  int width = 0;
  int height = 0;
  Rational time_base{1, 1000};
  Rational pixel_aspect{1, 1};
  Rational declared_rate{0, 1};  // frames per second; 0/1: none declared
  int rotation_deg = 0;
  std::optional<double> declared_seconds;
  std::int64_t file_bytes = 0;
  std::optional<SoundInfo> sound;
  std::vector<std::string> cautions;
};

enum class Priority { kPlay, kShow, kAhead, kBackground };

// Sound in the form of sound_format.hpp. Sample n counts from the first frame, which is sample 0.
struct SoundBlock {
  std::int64_t first = 0;
  std::vector<float> samples;  // interleaved, kSoundChannels
};

// One open recording. Pictures are decoded in a helper process and kept in a cache of bounded size that this
// process owns. The same frame is the same picture by every way of getting there. Thread-safe.
class Recording {
 public:
  struct Options {
    MediaLimits limits;
    std::int64_t cache_bytes = 0;  // 0: a quarter of the machine's memory, at most 1.5 GiB
    std::string cache_folder;      // where frame tables are kept; empty: the user's cache folder
    int recording_number = 0;      // goes into FrameRef::recording of its pictures
    bool build_table = true;       // in the background, from opening on
  };
  using Ready = std::function<void(Result<Picture>)>;

  static Result<std::unique_ptr<Recording>> Open(const std::string& path, const Options& options,
                                                 const StopQuery& stop = {});
  virtual ~Recording() = default;

  virtual const RecordingInfo& info() const = 0;
  // The best table so far (provisional, complete from packets, or decode-verified); cheap, shared, immutable.
  virtual std::shared_ptr<const FrameTable> table() const = 0;
  // Waits until the table is at least as good as asked.
  virtual Result<std::shared_ptr<const FrameTable>> WaitForTable(TableState state, const Progress& progress,
                                                                 const StopQuery& stop) = 0;

  // Exactly the frame at `pts`; where no frame has that timestamp, the last one before it (the first one, if
  // none).
  virtual Result<Picture> Frame(Pts pts, const StopQuery& stop) = 0;
  virtual Result<Picture> Frame(FrameIndex index, const StopQuery& stop) = 0;
  // The picture at once if it is in the cache, else empty.
  virtual std::optional<Picture> Cached(Pts pts) const = 0;
  // The nearest picture in the cache, for scrubbing; empty if there is none.
  virtual std::optional<Picture> NearestCached(Pts pts) const = 0;
  // Asks for a picture; a later request of the same priority overtakes it (then `ready` gets kStopped).
  // `ready` is called from a media thread.
  virtual void Request(Pts pts, Priority priority, Ready ready) = 0;
  // Tells where the playhead is and which way it moves (-1, 0, 1), for reading ahead and behind.
  virtual void SetPlayhead(Pts pts, int direction) = 0;
  // The cache holds no more than that from now on, but always one picture; of too many, those farthest from
  // the playhead go at once.
  virtual void SetCacheBytes(std::int64_t bytes) = 0;

  // Pictures one after another in display order from `from` on, without keeping them in the cache: the
  // fastest way through a stretch. `visit` returns false to end it.
  virtual Status Sweep(Pts from, const std::function<bool(const Picture&)>& visit, const StopQuery& stop) = 0;

  // Sound of `count` samples (at most 60 s) from sample `first` on, where sample n is heard at n / kSoundRate
  // seconds after the first frame of the best table so far; silence where there is none. Stretches that meet
  // fit together to the sample. No samples: the recording has no sound. A stretch on which the decoder fails
  // is an error; the next one is tried anew. Decoded in a helper process beside that of the pictures.
  virtual Result<SoundBlock> Sound(std::int64_t first, std::int64_t count, const StopQuery& stop) = 0;
  // MD5 of the decoder's own planes of a frame as ffmpeg's framehash muxer computes it, lower-case hex. By
  // index: waits for the verified table. By time: of the frame that Frame(pts) gives.
  virtual Result<std::string> FrameHash(FrameIndex index, const StopQuery& stop) = 0;
  virtual Result<std::string> FrameHash(Pts pts, const StopQuery& stop) = 0;

  // Process ids of the helpers that serve pictures, for those who want to measure or end them; -1: not
  // running.
  virtual std::vector<int> HelperPids() const = 0;

  // What the case record keeps of it, from the best table so far.
  virtual RecordingShape Shape() const = 0;
};

// If the command line is that of the helper process (`afterscope` starts itself again with a reserved first
// argument), serves it until its parent ends and returns its exit status; empty otherwise. Call first thing
// in main, in tests too.
std::optional<int> RunMediaHelperIfAsked(int argc, char** argv);

}  // namespace afterscope

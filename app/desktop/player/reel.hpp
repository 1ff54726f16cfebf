// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/media/recording.hpp"
#include "app/common/job_runner.hpp"
#include "app/desktop/player/stand_ins.hpp"
#include "app/desktop/timeline/layout.hpp"
#include "metrics/picture/covers.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The recordings of the open case, opened in the background. One thread (the one that drains `jobs`).
class Reel {
 public:
  enum class State { kOpening, kOpen, kMissing };
  struct Item {
    std::string name;  // until it is open; then its path
    State state = State::kOpening;
    std::string problem;                   // one sentence, where missing
    std::shared_ptr<Recording> recording;  // null unless open
    std::int64_t cache_bytes = 0;          // its share
  };

  // cache_bytes: of decoded pictures of all recordings together, shared out as CacheShares says;
  // with_stand_ins: pictures that stand in are made.
  Reel(JobRunner& jobs, std::int64_t cache_bytes, bool with_stand_ins);
  ~Reel();

  // How a recording is found; called in the background.
  struct Source {
    std::string name;  // for the screen
    std::function<Result<std::string>()> locate;
    std::string cache_folder = {};  // for small pictures; empty: they are not kept
  };
  // Drops what was open and opens these, in order. `covers`: areas of the decoded pictures of each recording
  // that are never to be seen; what Shown gives has them filled.
  void Open(const std::vector<Source>& sources, std::vector<std::vector<CoverArea>> covers = {});
  // The picture, one of this reel's in any size, as it may be seen. Everything that shows pictures asks for
  // this.
  Picture Shown(const Picture& picture) const;
  const std::vector<Item>& items() const { return items_; }
  Recording* At(int recording) const;
  std::shared_ptr<Recording> Shared(int recording) const;
  // Cheap where nothing changes.
  void SetCacheBytes(std::int64_t bytes);
  // The playhead is there and moves that way: its recording has the larger share of the cache and reads
  // ahead, and near the end of that the next one.
  void Follow(FrameRef playhead, int direction);
  bool AllSettled() const;  // none is still being opened
  Tables tables() const;
  // A picture near that frame, at once: see StandIns.
  std::optional<Picture> StandIn(FrameRef at) const { return stand_ins_.Nearest(at); }
  // What is being made to stand in; null: nothing.
  JobHandle BackgroundWork() const { return stand_ins_.Work(); }

  // The shapes to place the case on its clock: what the record says, made better by what the open recordings
  // know.
  std::vector<RecordingRef> Known(const std::vector<RecordingRef>& recorded) const;

 private:
  void Close();
  void ShareOutCache();
  void Settle(int number, const std::string& cache_folder, Result<std::unique_ptr<Recording>> opened);

  JobRunner& jobs_;
  std::int64_t cache_bytes_;
  bool with_stand_ins_;
  StandIns stand_ins_;
  std::vector<Item> items_;
  std::size_t in_sight_ = 0;                    // the playhead's recording
  std::vector<std::vector<CoverArea>> covers_;  // by recording
  std::uint64_t generation_ = 0;                // a result for an older one is dropped
  std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);
};

// The frame so many frames after (before, if negative) the given one, across recordings; stays at the ends.
// Recordings without a table are skipped.
FrameRef StepFrames(const Tables& tables, FrameRef from, std::int64_t frames);
// The frame that is shown at that time of the case clock: never the end boundary. Without a table, what the
// clock says.
FrameRef FrameAtSeconds(const Tables& tables, const CaseClock& clock, double seconds);
// The frame shown at a place that may be a boundary.
FrameRef FrameShownAt(const Tables& tables, FrameRef at);
// Number of the frame in its recording, from 0; empty if not known.
std::optional<std::int64_t> IndexOf(const Tables& tables, FrameRef at);

}  // namespace afterscope

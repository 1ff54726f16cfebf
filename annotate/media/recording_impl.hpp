// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/exact_reader.hpp"
#include "annotate/media/picture_worker.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/media/sound_source.hpp"
#include "annotate/platform/machine.hpp"

#include <atomic>
#include <condition_variable>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

namespace afterscope {

// A recording with its threads: one fetches pictures, one builds the table. Thread-safe.
class OpenRecording final : public Recording {
 public:
  OpenRecording(RegularFile file, Options options, std::unique_ptr<ExactReader> reader);
  ~OpenRecording() override;

  const RecordingInfo& info() const override { return info_; }
  std::shared_ptr<const FrameTable> table() const override;
  Result<std::shared_ptr<const FrameTable>> WaitForTable(TableState state, const Progress& progress,
                                                         const StopQuery& stop) override;
  Result<Picture> Frame(Pts pts, const StopQuery& stop) override;
  Result<Picture> Frame(FrameIndex index, const StopQuery& stop) override;
  std::optional<Picture> Cached(Pts pts) const override { return worker_->Cached(pts); }
  std::optional<Picture> NearestCached(Pts pts) const override { return worker_->NearestCached(pts); }
  void Request(Pts pts, Priority priority, Ready ready) override;
  void SetPlayhead(Pts pts, int direction) override { worker_->SetPlayhead(pts, direction); }
  void SetCacheBytes(std::int64_t bytes) override { worker_->SetCacheBytes(bytes); }
  Status Sweep(Pts from, const std::function<bool(const Picture&)>& visit, const StopQuery& stop) override;
  Result<SoundBlock> Sound(std::int64_t first, std::int64_t count, const StopQuery& stop) override;
  Result<std::string> FrameHash(FrameIndex index, const StopQuery& stop) override;
  Result<std::string> FrameHash(Pts pts, const StopQuery& stop) override;
  RecordingShape Shape() const override;
  std::vector<int> HelperPids() const override { return {worker_->helper_pid()}; }

 private:
  HelperTask Task() const;
  Error NoSuchFrame(FrameIndex index, std::int64_t count) const;
  std::shared_ptr<const TableData> Data() const;
  void Publish(std::shared_ptr<const TableData> data);
  void BuildInBackground();
  Result<std::shared_ptr<const TableData>> KeptOrBuilt();

  RegularFile file_;
  Options options_;
  RecordingInfo info_;
  OpenedFile opened_;  // without its index

  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::shared_ptr<const TableData> data_;
  std::optional<Error> table_error_;
  double table_progress_ = 0;
  std::atomic<bool> closing_{false};

  std::mutex hashing_;
  std::unique_ptr<ExactReader> hash_reader_;

  std::mutex sounding_;
  std::vector<ClockTurn> sound_turns_;  // that sound_ was opened with
  std::unique_ptr<SoundSource> sound_;

  std::unique_ptr<PictureWorker> worker_;
  std::thread table_thread_;
};

}  // namespace afterscope

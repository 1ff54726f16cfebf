// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/exact_reader.hpp"
#include "annotate/media/picture_cache.hpp"
#include "annotate/media/recording.hpp"

#include <array>
#include <atomic>
#include <condition_variable>
#include <deque>
#include <memory>
#include <mutex>
#include <set>
#include <thread>
#include <vector>

namespace afterscope {

// The thread that fetches pictures of one recording into its cache: first what is asked for, by priority,
// then what lies ahead of the playhead or behind it. Thread-safe.
class PictureWorker {
 public:
  PictureWorker(std::unique_ptr<ExactReader> reader, std::shared_ptr<const TableData> data,
                std::int64_t cache_bytes);
  ~PictureWorker();

  void Use(std::shared_ptr<const TableData> data);
  Result<Picture> Fetch(Pts pts, const StopQuery& stop);
  void Request(Pts pts, Priority priority, Recording::Ready ready);
  void SetPlayhead(Pts pts, int direction);
  void SetCacheBytes(std::int64_t bytes);
  std::optional<Picture> Cached(Pts pts) const;
  std::optional<Picture> NearestCached(Pts pts) const;
  int helper_pid() const { return helper_pid_; }
  // Whether any worker of this process is fetching pictures that are waited for or will be within a second:
  // work in the background had better wait.
  static bool AnyHungry();
  // While one lives, somebody is hungry: work that all processors should serve.
  class Hungry {
   public:
    Hungry();
    ~Hungry();
    Hungry(const Hungry&) = delete;
    Hungry& operator=(const Hungry&) = delete;
  };

 private:
  struct Job {
    Pts pts;
    Priority priority = Priority::kShow;
    Recording::Ready ready;
    std::atomic<bool> cancelled{false};
  };
  using JobPtr = std::shared_ptr<Job>;

  void Run();
  JobPtr TakeJob();
  void Serve(const JobPtr& job);
  void Finish(const JobPtr& job, Result<Picture> result);
  bool MoreUrgentThan(Priority priority) const;
  void Keep(const ReadFrame& frame);
  bool ReadAhead();
  bool ReadOn(Pts until);
  bool ReadAt(Pts pts);
  std::optional<Picture> CachedLocked(Pts pts) const;
  bool Has(Pts pts) const;
  std::optional<Pts> Missing(int direction) const;
  std::int64_t Window(double share, double seconds) const;
  void ReviewCache();
  void SetHungry(bool hungry);

  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::shared_ptr<const TableData> data_;
  PictureCache cache_;
  std::deque<JobPtr> jobs_;
  std::vector<JobPtr> requests_;  // those of Request that are not finished; at most one a priority
  std::optional<Pts> playhead_;
  int direction_ = 0;
  bool resized_ = false;    // the cache was, since the thread last looked
  std::set<Pts> given_up_;  // can't be read, by the present table; not to be read ahead again
  std::set<Pts> unkept_;    // read, but farther from the playhead than what the cache holds
  std::atomic<bool> closing_{false};
  std::atomic<int> urgent_{0};  // jobs waiting
  std::atomic<int> helper_pid_{-1};
  bool hungry_ = false;  // the thread's own

  std::unique_ptr<ExactReader> reader_;  // the thread's own
  std::thread thread_;
};

}  // namespace afterscope

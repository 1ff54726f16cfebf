// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/time.hpp"

#include <atomic>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace afterscope {

// A job that is waiting or running, as the one who started it sees it. Thread-safe.
class JobTicket {
 public:
  explicit JobTicket(std::string what) : what_(std::move(what)) {}
  const std::string& what() const { return what_; }
  double share() const { return share_; }
  // Since it began, until now; 0 while it waits.
  double seconds() const;
  bool ended() const { return ended_; }
  bool stop_asked() const { return stop_; }
  void Stop() { stop_ = true; }

  // By the one who does the work.
  void Begin();
  void Reach(double share) { share_ = share; }
  void End() { ended_ = true; }

 private:
  std::string what_;
  std::atomic<std::int64_t> began_ns_{0};  // of a clock that never goes back; 0: not yet
  std::atomic<double> share_{0};
  std::atomic<bool> stop_{false};
  std::atomic<bool> ended_{false};
};
using JobHandle = std::shared_ptr<JobTicket>;

// Runs blocking work on threads of its own and hands the results back to one thread (the one that draws),
// which drains them once a frame. Start and Post may be called from any thread, Drain from one. Destruction
// asks all jobs to stop, waits for them, and drops what was not drained.
class JobRunner {
 public:
  // wake: called from any thread when there is something to drain; may be empty.
  explicit JobRunner(int threads, std::function<void()> wake = {});
  ~JobRunner();
  JobRunner(const JobRunner&) = delete;
  JobRunner& operator=(const JobRunner&) = delete;

  // `work(progress, stop)` runs on a thread of the runner; then `done(result)` is called by Drain. `what`
  // says it in words for the screen; empty: not worth showing.
  template <class Work, class Done>
  JobHandle Start(std::string what, Work work, Done done) {
    JobHandle job = std::make_shared<JobTicket>(std::move(what));
    Enqueue(job, [this, job, work = std::move(work), done = std::move(done)]() mutable {
      job->Begin();
      auto result = std::make_shared<decltype(work(Progress{}, StopQuery{}))>(
          work([job](double share) { job->Reach(share); }, [job] { return job->stop_asked(); }));
      Post([result, done = std::move(done)]() mutable { done(std::move(*result)); });
    });
    return job;
  }

  void Post(std::function<void()> call);
  // Runs what was posted; true if there was anything.
  bool Drain();
  // Nothing waits, runs or is still to be drained.
  bool Idle() const;
  // Jobs that are waiting or running and have words to show.
  std::vector<JobHandle> Shown() const;

 private:
  struct Task {
    JobHandle job;
    std::function<void()> run;
  };
  void Enqueue(JobHandle job, std::function<void()> run);
  void Work();

  std::function<void()> wake_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<Task> waiting_;
  std::vector<JobHandle> live_;
  std::vector<std::function<void()>> posted_;
  bool closing_ = false;
  std::vector<std::thread> threads_;
};

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/common/job_runner.hpp"

#include <algorithm>
#include <chrono>

namespace afterscope {
namespace {

std::int64_t NowNs() {
  return std::chrono::duration_cast<std::chrono::nanoseconds>(
             std::chrono::steady_clock::now().time_since_epoch())
      .count();
}

}  // namespace

void JobTicket::Begin() { began_ns_ = NowNs(); }

double JobTicket::seconds() const {
  const std::int64_t began = began_ns_;
  return began == 0 ? 0 : static_cast<double>(NowNs() - began) / 1e9;
}

JobRunner::JobRunner(int threads, std::function<void()> wake) : wake_(std::move(wake)) {
  for (int i = 0; i < threads; ++i) threads_.emplace_back([this] { Work(); });
}

JobRunner::~JobRunner() {
  std::deque<Task> dropped;  // outside the lock: what they hold may wait for a thread that is about to Post
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
    dropped.swap(waiting_);
    for (const JobHandle& job : live_) job->Stop();
  }
  changed_.notify_all();
  dropped.clear();
  for (std::thread& thread : threads_) thread.join();
}

void JobRunner::Enqueue(JobHandle job, std::function<void()> run) {
  {
    const std::lock_guard lock(mutex_);
    if (closing_) return;
    live_.push_back(job);
    waiting_.push_back({std::move(job), std::move(run)});
  }
  changed_.notify_one();
}

void JobRunner::Work() {
  while (true) {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [this] { return closing_ || !waiting_.empty(); });
    if (closing_) return;
    Task task = std::move(waiting_.front());
    waiting_.pop_front();
    lock.unlock();
    task.run();
    task.job->End();
    task.run = nullptr;  // what it held is released before the job counts as gone
    lock.lock();
    std::erase(live_, task.job);
  }
}

void JobRunner::Post(std::function<void()> call) {
  {
    const std::lock_guard lock(mutex_);
    if (closing_) return;
    posted_.push_back(std::move(call));
  }
  if (wake_) wake_();
}

bool JobRunner::Drain() {
  std::vector<std::function<void()>> calls;
  {
    const std::lock_guard lock(mutex_);
    calls.swap(posted_);
  }
  for (auto& call : calls) call();
  return !calls.empty();
}

bool JobRunner::Idle() const {
  const std::lock_guard lock(mutex_);
  return live_.empty() && posted_.empty();
}

std::vector<JobHandle> JobRunner::Shown() const {
  const std::lock_guard lock(mutex_);
  std::vector<JobHandle> shown;
  for (const JobHandle& job : live_)
    if (!job->what().empty()) shown.push_back(job);
  return shown;
}

}  // namespace afterscope

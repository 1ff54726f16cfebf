// SPDX-License-Identifier: Apache-2.0
#include "app/common/work_queue.hpp"

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <mutex>
#include <numeric>
#include <optional>
#include <thread>

namespace afterscope {
namespace {

struct Shared {
  std::mutex mutex;
  std::condition_variable done;
  std::size_t next = 0;
  int running = 0;
  std::vector<double> shares;
  std::optional<Error> failure;
};

void Work(const std::vector<WorkItem>& items, Shared& shared, const StopQuery& stop) {
  for (;;) {
    std::size_t mine = 0;
    {
      const std::lock_guard lock(shared.mutex);
      if (shared.failure || shared.next >= items.size()) break;
      mine = shared.next++;
    }
    const Status status = items[mine](
        [&](double share) {
          const std::lock_guard lock(shared.mutex);
          shared.shares[mine] = share;
        },
        [&] {
          if (Stopped(stop)) return true;
          const std::lock_guard lock(shared.mutex);
          return shared.failure.has_value();
        });
    const std::lock_guard lock(shared.mutex);
    shared.shares[mine] = 1;
    if (!status.ok() && !shared.failure) shared.failure = status.error();
  }
  const std::lock_guard lock(shared.mutex);
  --shared.running;
  shared.done.notify_all();
}

}  // namespace

Status RunAll(const std::vector<WorkItem>& items, int workers, const Progress& progress,
              const StopQuery& stop) {
  if (items.empty()) return {};
  Shared shared;
  shared.shares.resize(items.size(), 0.0);
  const int count = std::max(1, workers);
  shared.running = count;
  std::vector<std::thread> threads;
  threads.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) threads.emplace_back([&] { Work(items, shared, stop); });
  {
    std::unique_lock lock(shared.mutex);
    while (shared.running > 0) {
      shared.done.wait_for(lock, std::chrono::milliseconds(200));
      Report(progress, std::accumulate(shared.shares.begin(), shared.shares.end(), 0.0) /
                           static_cast<double>(items.size()));
    }
  }
  for (std::thread& thread : threads) thread.join();
  return shared.failure ? Status(*shared.failure) : Status();
}

}  // namespace afterscope

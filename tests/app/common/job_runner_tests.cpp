// SPDX-License-Identifier: Apache-2.0
#include "app/common/job_runner.hpp"

#include <catch2/catch.hpp>

#include <chrono>

namespace afterscope {
namespace {

// Drains until it is so; false after ten seconds.
bool DrainUntil(JobRunner& jobs, const std::function<bool()>& so) {
  const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(10);
  while (!so()) {
    if (std::chrono::steady_clock::now() > end) return false;
    jobs.Drain();
    std::this_thread::yield();
  }
  return true;
}

}  // namespace

TEST_CASE("A job's result comes back on the thread that drains", "[jobs]") {
  JobRunner jobs(2);
  int got = 0;
  std::thread::id where;
  jobs.Start(
      "count", [](const Progress&, const StopQuery&) { return 42; },
      [&](int result) {
        got = result;
        where = std::this_thread::get_id();
      });
  REQUIRE(DrainUntil(jobs, [&] { return got == 42; }));
  CHECK(where == std::this_thread::get_id());
}

TEST_CASE("A job says how far it is and can be stopped", "[jobs]") {
  JobRunner jobs(1);
  bool ended = false;
  const JobHandle job = jobs.Start(
      "long",
      [](const Progress& progress, const StopQuery& stop) {
        Report(progress, 0.25);
        while (!Stopped(stop)) std::this_thread::yield();
        return 0;
      },
      [&](int) { ended = true; });
  REQUIRE(DrainUntil(jobs, [&] { return job->share() == 0.25; }));
  CHECK(jobs.Shown().size() == 1);
  job->Stop();
  REQUIRE(DrainUntil(jobs, [&] { return ended; }));
  REQUIRE(DrainUntil(jobs, [&] { return jobs.Shown().empty(); }));
}

TEST_CASE("Closing stops what runs and drops what waits", "[jobs]") {
  std::atomic<int> started{0};
  {
    JobRunner jobs(1);
    for (int i = 0; i < 5; ++i) {
      jobs.Start(
          "",
          [&](const Progress&, const StopQuery& stop) {
            ++started;
            while (!Stopped(stop)) std::this_thread::yield();
            return 0;
          },
          [](int) {});
    }
    while (started == 0) std::this_thread::yield();
  }
  CHECK(started == 1);
}

// As a recording that is closed waits for its worker, which has just got a picture to hand over.
TEST_CASE("Closing drops a job whose end waits for a thread that posts", "[jobs]") {
  auto jobs = std::make_unique<JobRunner>(1);
  std::atomic<bool> busy{false};
  jobs->Start(
      "",
      [&](const Progress&, const StopQuery& stop) {
        busy = true;
        while (!Stopped(stop)) std::this_thread::yield();
        return 0;
      },
      [](int) {});
  while (!busy) std::this_thread::yield();
  int ended = 0;
  std::shared_ptr<int> held(new int(0), [&, runner = jobs.get()](const int* value) {
    std::thread([runner] { runner->Post([] {}); }).join();
    delete value;
    ++ended;
  });
  jobs->Start(
      "", [held = std::move(held)](const Progress&, const StopQuery&) { return 0; }, [](int) {});
  jobs.reset();
  CHECK(ended == 1);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "app/common/work_queue.hpp"

#include <catch2/catch.hpp>

#include <atomic>
#include <thread>
#include <vector>

using namespace afterscope;

TEST_CASE("Work that ends at once is done once each, however many workers there are", "[work_queue]") {
  for (int round = 0; round < 50; ++round) {
    std::vector<std::atomic<int>> done(20);
    std::vector<WorkItem> items;
    for (std::atomic<int>& each : done)
      items.push_back([&each](const Progress&, const StopQuery&) {
        ++each;
        return Status();
      });
    REQUIRE(RunAll(items, 16, {}, {}).ok());
    for (const std::atomic<int>& each : done) REQUIRE(each == 1);
  }
}

TEST_CASE("The first failure stops what runs, and nothing more is begun", "[work_queue]") {
  std::atomic<int> begun = 0;
  std::vector<WorkItem> items(20, [&](const Progress&, const StopQuery& stop) {
    ++begun;
    while (!Stopped(stop)) std::this_thread::yield();
    return Status();
  });
  items[0] = [](const Progress&, const StopQuery&) { return Status(Error{ErrorCode::kUnreadable, "No."}); };
  const Status all = RunAll(items, 4, {}, {});
  REQUIRE_FALSE(all.ok());
  CHECK(all.error().message == "No.");
  CHECK(begun <= 3);
}

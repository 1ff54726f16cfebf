// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/work_left.hpp"

#include <catch2/catch.hpp>

#include <thread>

namespace afterscope {

TEST_CASE("What is left of a piece of work is told by how fast it went", "[jobs][left]") {
  JobRunner runner(1);
  std::atomic<double> share{0};
  std::atomic<bool> go_on{true};
  const JobHandle job = runner.Start(
      "Work",
      [&](const Progress& progress, const StopQuery&) {
        while (go_on) {
          progress(share);
          std::this_thread::yield();
        }
        return 0;
      },
      [](int) {});
  const auto comes_to = [&](double wanted) {
    share = wanted;
    while (job->share() != wanted) std::this_thread::yield();
  };
  WorkLeft left;
  comes_to(0.1);  // it may have begun before it was seen
  CHECK(left.Words(job, 100).empty());
  comes_to(0.2);
  CHECK(left.Words(job, 101).empty());                // too early to tell
  CHECK(left.Words(job, 110) == "about 80 s left");   // a tenth in 10 s, eight tenths to go
  CHECK(left.Words(job, 130) == "about 4 min left");  // a tenth in 30 s
  comes_to(1);
  CHECK(left.Words(job, 140) == "about 5 s left");
  go_on = false;
}

}  // namespace afterscope

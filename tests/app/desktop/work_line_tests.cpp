// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/work_line.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("What is left of a piece of work is told by how fast it went", "[jobs][left]") {
  CHECK(TimeLeftWords(0, 10).empty());
  CHECK(TimeLeftWords(0.5, 1).empty());  // too early to tell
  CHECK(TimeLeftWords(0.5, 21) == "about 20 s left");
  CHECK(TimeLeftWords(0.2, 20) == "about 80 s left");  // a tenth in 10 s, eight tenths to go
  CHECK(TimeLeftWords(0.2, 60) == "about 4 min left");
  CHECK(TimeLeftWords(1, 40) == "about 5 s left");
}

TEST_CASE("Work says what it is, and how far it has come once that is known", "[jobs][left]") {
  JobTicket work("Following the tip");
  CHECK(WorkWords(work) == "Following the tip …");
  CHECK(work.seconds() == 0);
  work.Begin();
  work.Reach(0.34);
  CHECK(WorkWords(work) == "Following the tip … 34 %");
  CHECK_FALSE(work.ended());
  work.End();
  CHECK(work.ended());
}

TEST_CASE("What is in sight is stopped first, while it goes on", "[jobs]") {
  const auto first = std::make_shared<JobTicket>("First");
  const auto seen = std::make_shared<JobTicket>("Seen");
  CHECK(InOrderOfStopping({first, seen}, seen) == std::vector<JobHandle>{seen, first});
  CHECK(InOrderOfStopping({first, seen}, first) == std::vector<JobHandle>{first, seen});
  CHECK(InOrderOfStopping({first}, seen) == std::vector<JobHandle>{seen, first});  // of another list
  CHECK(InOrderOfStopping({first, seen}, nullptr) == std::vector<JobHandle>{first, seen});
  seen->End();
  CHECK(InOrderOfStopping({first}, seen) == std::vector<JobHandle>{first});
}

TEST_CASE("How long work has been running counts from where it begins, not from where it was asked for",
          "[jobs][left]") {
  JobRunner runner(1);
  std::atomic<bool> go_on{false};
  const auto wait = [&go_on](const Progress&, const StopQuery& stop) {
    while (!go_on && !stop()) std::this_thread::yield();
    return 0;
  };
  const JobHandle first = runner.Start("First", wait, [](int) {});
  const JobHandle second = runner.Start("Second", wait, [](int) {});
  while (first->seconds() <= 0) std::this_thread::yield();
  CHECK(second->seconds() == 0);
  go_on = true;
  while (!second->ended()) std::this_thread::yield();
  CHECK(second->seconds() <= first->seconds());
}

}  // namespace afterscope

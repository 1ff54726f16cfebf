// SPDX-License-Identifier: Apache-2.0
#include "app/common/job_scope.hpp"

#include <catch2/catch.hpp>

#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace afterscope {
namespace {

// Runs what was started to its end, results and all.
void Finish(JobRunner& jobs) {
  while (!jobs.Idle()) {
    jobs.Drain();
    std::this_thread::yield();
  }
}

void Say(JobScope& scope, const std::string& word, std::vector<std::string>& said) {
  scope.Start(
      "", [word](const Progress&, const StopQuery&) { return word; },
      [&said](std::string result) { said.push_back(std::move(result)); });
}

}  // namespace

TEST_CASE("A result comes while its owner waits for it", "[jobs]") {
  JobRunner jobs(2);
  JobScope scope(jobs);
  std::vector<std::string> said;
  Say(scope, "one", said);
  Finish(jobs);
  CHECK(said == std::vector<std::string>{"one"});
}

TEST_CASE("Results of what was started before the owner moved on are dropped", "[jobs]") {
  JobRunner jobs(2);
  JobScope scope(jobs);
  std::vector<std::string> said;
  Say(scope, "before", said);
  const auto post = scope.Poster();
  scope.Renew();
  Say(scope, "after", said);
  post([&said] { said.emplace_back("posted"); });
  Finish(jobs);
  CHECK(said == std::vector<std::string>{"after"});
}

TEST_CASE("Nothing comes back to an owner that is gone", "[jobs]") {
  JobRunner jobs(2);
  std::optional<JobScope> scope(jobs);
  std::vector<std::string> said;
  Say(*scope, "late", said);
  const auto post = scope->Poster();
  scope.reset();
  post([&said] { said.emplace_back("posted"); });
  Finish(jobs);
  CHECK(said.empty());
}

}  // namespace afterscope

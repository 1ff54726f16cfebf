// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_session.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/annotate/store/fault_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <chrono>
#include <filesystem>
#include <signal.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

namespace afterscope {
namespace {

constexpr const char* kFolder = "/memory/case";

// Whether what is found after `acknowledged` changes is the state after them, or after the one that was under
// way.
bool Holds(const std::vector<CaseState>& states, std::size_t acknowledged, const CaseState& found) {
  if (found == states[acknowledged]) return true;
  return acknowledged + 1 < states.size() && found == states[acknowledged + 1];
}

// Runs the scenario with everything failing from the n-th call on, as if the program had ended there.
struct Ended {
  std::size_t acknowledged = 0;
  bool to_the_end = false;
};
Ended RunUntil(FileSystem& files, int n) {
  Ended ended;
  ended.to_the_end = true;
  WatchedFiles watched(files, [&](int call, const std::string& what) -> Status {
    if (call < n) return {};
    ended.to_the_end = false;
    return Error{ErrorCode::kUnwritable, what + ": the program has ended."};
  });
  RunScenario(watched, kFolder, [&](const CaseState&) { ++ended.acknowledged; });
  return ended;
}

}  // namespace

// The way of SQLite's crash tests: end at every call in turn, drop what was not synced, open again.
TEST_CASE("Power loss at every file system call loses nothing acknowledged", "[store][crash]") {
  const std::vector<CaseState> states = CleanStates();
  REQUIRE(states.size() == 15);
  std::mt19937 random(1);
  int points = 0;
  int images = 0;
  int second_ends = 0;
  for (int n = 1;; ++n) {
    MemoryFiles files;
    const Ended ended = RunUntil(files, n);
    ++points;
    for (int policy = 0; policy < 6; ++policy) {
      // Nothing unsynced survives; all does; or each thing by chance.
      const auto keep = [&] { return policy == 0 ? false : policy == 1 ? true : random() % 2 == 0; };
      const auto image = files.AfterPowerLoss(keep, random);
      ++images;
      // A second end while the first is repaired, at every call of that.
      for (int m = 1;; ++m) {
        const auto again = image->AfterPowerLoss([] { return false; }, random);
        bool finished = true;
        {
          WatchedFiles watched(*again, [&](int call, const std::string&) -> Status {
            if (call < m) return {};
            finished = false;
            return Error{ErrorCode::kUnwritable, "ended"};
          });
          StateOf(watched, kFolder);
        }
        const auto second = again->AfterPowerLoss(keep, random);
        const CaseState found = StateOf(*second, kFolder);
        ++second_ends;
        INFO("ended at call " << n << ", policy " << policy << ", second end at call " << m
                              << ", acknowledged " << ended.acknowledged);
        REQUIRE(Holds(states, ended.acknowledged, found));
        if (finished) break;
      }
    }
    if (ended.to_the_end) break;
  }
  WARN("power loss: " << points << " points, " << images << " images, " << second_ends
                      << " with a second end");
  CHECK(points > 60);
}

TEST_CASE("A failing call is told, and what was acknowledged stays", "[store][crash]") {
  const std::vector<CaseState> states = CleanStates();
  int points = 0;
  for (const bool for_ever : {false, true}) {
    for (int n = 1;; ++n) {
      MemoryFiles files;
      bool hit = false;
      std::size_t acknowledged = 0;
      WatchedFiles watched(files, [&](int call, const std::string& what) -> Status {
        if (call < n || (!for_ever && call > n)) return {};
        hit = true;
        return Error{ErrorCode::kUnwritable, what + ": no space left."};
      });
      RunScenario(watched, kFolder, [&](const CaseState& state) {
        ++acknowledged;
        // What the program shows is what it acknowledged.
        if (acknowledged > 1) REQUIRE(state == states[acknowledged]);
      });
      ++points;
      INFO("failed at call " << n << (for_ever ? " and ever after" : ""));
      REQUIRE(Holds(states, acknowledged, StateOf(files, kFolder)));
      if (!hit) break;
    }
  }
  WARN("failing calls: " << points << " points");
}

TEST_CASE("A process that ends at every file system call in turn loses nothing acknowledged",
          "[store][crash]") {
  const std::vector<CaseState> states = CleanStates();
  int points = 0;
  for (int n = 1;; ++n) {
    const TemporaryFolder folder;
    const std::string path = folder / "case";
    int pipe_ends[2];
    REQUIRE(::pipe(pipe_ends) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
      WatchedFiles watched(RealFileSystem(), [&](int call, const std::string&) -> Status {
        if (call == n) ::_exit(137);
        return {};
      });
      RunScenario(watched, path,
                  [&](const CaseState&) { static_cast<void>(::write(pipe_ends[1], "x", 1) == 1); });
      ::_exit(0);
    }
    ::close(pipe_ends[1]);
    std::size_t acknowledged = 0;
    char byte = 0;
    while (::read(pipe_ends[0], &byte, 1) == 1) ++acknowledged;
    ::close(pipe_ends[0]);
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    ++points;
    INFO("ended at call " << n << ", acknowledged " << acknowledged);
    REQUIRE(Holds(states, acknowledged, StateOf(RealFileSystem(), path)));
    if (WEXITSTATUS(status) == 0) break;
  }
  WARN("process ended: " << points << " points");
}

TEST_CASE("50 kills at random instants of a writing process lose nothing acknowledged", "[store][crash]") {
  std::mt19937 random(3);
  int most = 0;
  for (int kill = 0; kill < 50; ++kill) {
    const TemporaryFolder folder;
    const std::string path = folder / "case";
    REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
    int pipe_ends[2];
    REQUIRE(::pipe(pipe_ends) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
      auto session = CaseSession::Open(path, {});
      for (int i = 0; session.ok(); ++i) {
        const Moment moment{{fmt::format("o{}", i)}, At(i), MomentKind::kRemark, "", std::to_string(i), {}};
        if (!(*session)->Commit({"Remark", {Put<Moment>{moment}}}).ok()) break;
        if (i % 7 == 6) static_cast<void>((*session)->SaveCheckpoint());
        if (::write(pipe_ends[1], "x", 1) != 1) break;
      }
      ::_exit(1);
    }
    ::close(pipe_ends[1]);
    std::this_thread::sleep_for(std::chrono::microseconds(2000 + random() % 300000));
    ::kill(child, SIGKILL);
    int acknowledged = 0;
    char byte = 0;
    while (::read(pipe_ends[0], &byte, 1) == 1) ++acknowledged;
    ::close(pipe_ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    const CaseState found = StateOf(RealFileSystem(), path);
    REQUIRE(found.there);
    const int count = static_cast<int>(found.review.moments.size());
    INFO("kill " << kill << ": " << acknowledged << " acknowledged, " << count << " found");
    REQUIRE((count == acknowledged || count == acknowledged + 1));
    for (int i = 0; i < count; ++i)
      REQUIRE(found.review.moments[static_cast<std::size_t>(i)].text == std::to_string(i));
    most = std::max(most, acknowledged);
  }
  WARN("50 kills; up to " << most << " changes acknowledged before one");
  CHECK(most > 5);
}

}  // namespace afterscope

// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/faults/fault_support.hpp"
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <string_view>
#include <sys/time.h>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr char kOld[] = "as it was\n";
constexpr int kMostPoints = 5000;
constexpr int kKills = 50;

// A call in a fresh copy of the folder; what can be seen of it before and after.
class Trial {
 public:
  Trial(const std::string& base, const WritingCall& call) : call_(call), work_(folder_ / "work") {
    fs::copy(base, work_, fs::copy_options::recursive);
    if (call_.replaces)
      for (const std::string& output : call_.outputs) std::ofstream(PathOf(output)) << kOld;
  }

  FaultRun Run(const std::string& how, int at) { return RunOnDisk(work_, call_.arguments, how, at); }
  // Ends it after so long, wherever it is.
  FaultRun RunKilled(std::chrono::microseconds after) {
    const ForkedRun run = RunForked(work_, call_.arguments, [&] {
      const auto seconds = std::chrono::floor<std::chrono::seconds>(after);
      const itimerval once{{}, {seconds.count(), static_cast<suseconds_t>((after - seconds).count())}};
      ::setitimer(ITIMER_REAL, &once, nullptr);  // its signal ends a process that does not catch it
    });
    return {run.status == 128 + SIGALRM ? 137 : run.status, true, run.err};
  }
  std::string State() const {
    return std::string_view(call_.cases).empty() ? std::string()
                                                 : StateOfCase(fmt::format("{}/{}", work_, call_.cases));
  }
  // The old file or a whole new one, never a part.
  bool OutputsAreOldOrNew() const {
    return std::all_of(call_.outputs.begin(), call_.outputs.end(), [&](const std::string& output) {
      return !fs::exists(PathOf(output)) || BytesOf(PathOf(output)) == kOld || IsWhole(PathOf(output));
    });
  }
  bool OutputsAreNew() const {
    return std::all_of(call_.outputs.begin(), call_.outputs.end(), [&](const std::string& output) {
      return fs::exists(PathOf(output)) && BytesOf(PathOf(output)) != kOld && IsWhole(PathOf(output));
    });
  }
  std::vector<std::string> Left() const { return Unfinished(work_); }

 private:
  std::string PathOf(const std::string& output) const { return fmt::format("{}/{}", work_, output); }

  const TemporaryFolder folder_;
  const WritingCall& call_;
  std::string work_;
};

bool IsOneSentence(const std::string& text) {
  return text.size() > 10 && text.ends_with(".\n") && std::count(text.begin(), text.end(), '\n') == 1;
}

struct States {
  std::string before;
  std::string after;
};

// The program goes on after the failure: it says so, or nothing is lost by it.
void CheckFailed(const Trial& trial, const FaultRun& run, const States& states) {
  CHECK(run.status < 100);
  if (run.status != 0)
    CHECK(IsOneSentence(run.complaint));
  else
    CHECK(trial.OutputsAreNew());
  CHECK(trial.OutputsAreOldOrNew());
  const std::string state = trial.State();
  CHECK((state == states.after || (run.status != 0 && state == states.before)));
}

// The program ended in the middle, or all was acknowledged before that; it is started again.
void CheckEnded(Trial& trial, const FaultRun& run, const States& states) {
  CHECK((run.status == 137 || run.status == 0));
  CHECK(trial.OutputsAreOldOrNew());
  if (run.status == 0) CHECK(trial.OutputsAreNew());
  const std::string state = trial.State();  // opens the case
  CHECK((state == states.after || (run.status != 0 && state == states.before)));
  const FaultRun again = trial.Run("full", 0);
  INFO("again: " << again.complaint);
  CHECK((again.status == 0 || again.status == 2 || again.status == 3 || again.status == 5));
  if (again.status == 0) CHECK(trial.OutputsAreNew());
  static_cast<void>(trial.State());
  CHECK(trial.Left() == std::vector<std::string>{});
}

int TryEveryPoint(const std::string& base, const WritingCall& call, const std::string& how,
                  const States& states) {
  for (int at = 1; at < kMostPoints; ++at) {
    Trial trial(base, call);
    const FaultRun run = trial.Run(how, at);
    INFO(call.name << ": " << how << " at call " << at << ", status " << run.status << ": " << run.complaint);
    if (!run.reached) {
      CHECK(run.status == 0);
      return at - 1;
    }
    if (how == "full" || how == "dead")
      CheckFailed(trial, run, states);
    else
      CheckEnded(trial, run, states);
  }
  FAIL_CHECK(call.name << ": " << how << " was still reached at call " << kMostPoints - 1
                       << "; what comes after was not tried: raise kMostPoints or write less.");
  return kMostPoints - 1;
}

}  // namespace

// Every call by which each kind of writing changes the disk goes wrong in turn. Runs with libbroken_disk.so
// loaded (LD_PRELOAD); AFTERSCOPE_FAULT_CALLS: only the calls whose name contains this.
TEST_CASE("What is written is old or new whatever call goes wrong", "[.faults]") {
  const char* wanted = std::getenv("AFTERSCOPE_FAULT_CALLS");
  const TemporaryFolder base;
  MakeFaultFolder(base.path());
  int total = 0;
  for (const WritingCall& call : WritingCalls()) {
    if (wanted != nullptr && std::string_view(call.name).find(wanted) == std::string_view::npos) continue;
    Trial clean(base.path(), call);
    States states;
    states.before = clean.State();
    const FaultRun run = clean.Run("full", 0);
    INFO(call.name << ": " << run.complaint);
    REQUIRE(run.status == 0);
    CHECK(clean.OutputsAreNew());
    states.after = clean.State();
    std::string counts;
    for (const char* how : {"full", "dead", "end", "power", "names"}) {
      const int points = TryEveryPoint(base.path(), call, how, states);
      counts += fmt::format(" {} {}", how, points);
      total += points;
    }
    WARN(call.name << ":" << counts);
  }
  WARN("fault points: " << total);
}

TEST_CASE("What is written is old or new when the program is killed at any instant", "[.faults]") {
  const TemporaryFolder base;
  MakeFaultFolder(base.path());
  std::mt19937 random(4);
  for (const WritingCall& call : WritingCalls()) {
    const std::string_view name = call.name;
    if (name != "edit: many at once" && name != "index" && name != "report PDF" && name != "clip MP4")
      continue;
    Trial clean(base.path(), call);
    States states;
    states.before = clean.State();
    const auto start = std::chrono::steady_clock::now();
    REQUIRE(clean.Run("full", 0).status == 0);
    const auto length =
        std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - start);
    states.after = clean.State();
    int killed = 0;
    for (int kill = 0; kill < kKills; ++kill) {  // one in each fiftieth of its length
      const auto instant = length * (kill * 1000 + static_cast<int>(random() % 1000) + 1) / (kKills * 1000);
      Trial trial(base.path(), call);
      const FaultRun run = trial.RunKilled(instant);
      INFO(call.name << ": killed after " << instant.count() << " of " << length.count()
                     << " microseconds, status " << run.status << ": " << run.complaint);
      CheckEnded(trial, run, states);
      killed += run.status == 137 ? 1 : 0;
    }
    CHECK(killed > kKills / 2);
    WARN(call.name << ": " << kKills << " kills over " << length.count() / 1000 << " ms, " << killed
                   << " before its end");
  }
}

}  // namespace afterscope

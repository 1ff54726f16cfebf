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
#include <map>
#include <random>
#include <sstream>
#include <string_view>
#include <sys/time.h>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr char kOld[] = "as it was\n";
constexpr int kMostPoints = 5000;
constexpr int kKills = 50;

struct States {
  std::string before;
  std::string after;
  std::string said;                          // beside the output, where nothing goes wrong
  std::map<std::string, std::string> texts;  // by output: what it holds where nothing goes wrong
};

// The text without where it was written, which differs from one run to the next.
std::string Comparable(std::string text, const std::string& folder) {
  for (std::size_t at = 0; (at = text.find(folder, at)) != std::string::npos;)
    text.replace(at, folder.size(), "FOLDER");
  return text;
}

// Else what was kept of the recordings would be made anew in each copy.
void KeepTimes(const std::string& from, const std::string& to) {
  for (const auto& entry : fs::recursive_directory_iterator(from))
    if (entry.path().extension() == ".mp4")
      fs::last_write_time(to / fs::relative(entry.path(), from), entry.last_write_time());
}

// A call in a fresh copy of the folder; what can be seen of it before and after.
class Trial {
 public:
  Trial(const std::string& base, const WritingCall& call) : call_(call), work_(folder_ / "work") {
    fs::copy(base, work_, fs::copy_options::recursive | fs::copy_options::copy_symlinks);
    KeepTimes(base, work_);
    if (call_.replaces)
      for (const std::string& output : call_.outputs) std::ofstream(PathOf(output)) << kOld;
  }

  FaultRun Run(const std::string& how, int at) { return RunOnDisk(work_, call_, how, at); }
  // Ends it after so long, wherever it is.
  FaultRun RunKilled(std::chrono::microseconds after) {
    const ForkedRun run = RunCall(work_, call_, [&] {
      const auto seconds = std::chrono::floor<std::chrono::seconds>(after);
      const itimerval once{{}, {seconds.count(), static_cast<suseconds_t>((after - seconds).count())}};
      ::setitimer(ITIMER_REAL, &once, nullptr);  // its signal ends a process that does not catch it
    });
    return {run.status == 128 + SIGALRM ? 137 : run.status, true, 0, run.err};
  }
  std::string State() const {
    return std::string_view(call_.looked_at).empty() ? std::string() : call_.state(PathOf(call_.looked_at));
  }
  // The old file or a whole new one, never a part.
  bool OutputsAreOldOrNew(const States& states) const {
    return std::all_of(call_.outputs.begin(), call_.outputs.end(), [&](const std::string& output) {
      return !fs::exists(PathOf(output)) || BytesOf(PathOf(output)) == kOld || IsNew(output, states);
    });
  }
  bool OutputsAreNew(const States& states) const {
    return std::all_of(call_.outputs.begin(), call_.outputs.end(),
                       [&](const std::string& output) { return IsNew(output, states); });
  }
  std::map<std::string, std::string> Texts() const {
    std::map<std::string, std::string> texts;
    for (const std::string& output : call_.outputs)
      if (IsSameEachTime(output)) texts[output] = Comparable(BytesOf(PathOf(output)), work_);
    return texts;
  }
  // Whether it does the same when it is called again.
  bool Repeats() const { return call_.replaces && !call_.outputs.empty(); }
  // Whether the state may be that, once the call ended so.
  bool StateFits(const States& states, int status) const {
    const std::string state = State();
    return state == states.after || ((status != 0 || !call_.promised) && state == states.before);
  }
  std::vector<std::string> Left() const { return Unfinished(work_); }

 private:
  bool IsNew(const std::string& output, const States& states) const {
    if (!fs::exists(PathOf(output)) || BytesOf(PathOf(output)) == kOld) return false;
    const auto text = states.texts.find(output);
    return text == states.texts.end() ? IsWhole(PathOf(output))
                                      : Comparable(BytesOf(PathOf(output)), work_) == text->second;
  }
  std::string PathOf(const std::string& output) const { return fmt::format("{}/{}", work_, output); }

  const TemporaryFolder folder_;
  const WritingCall& call_;
  std::string work_;
};

bool IsOneSentence(const std::string& text) {
  return text.size() > 10 && text.ends_with(".\n") && std::count(text.begin(), text.end(), '\n') == 1;
}

// What was complained of beside the lines that are always said.
std::string Beyond(const std::string& complaint, const std::string& said) {
  std::istringstream lines(complaint);
  std::string left;
  for (std::string line; std::getline(lines, line);)
    if (said.find(line + "\n") == std::string::npos) left += line + "\n";
  return left;
}

// On a whole disk, what can be repeated comes to its end.
void CheckAgain(Trial& trial, const States& states) {
  const FaultRun again = trial.Run("full", 0);
  INFO("again: " << again.complaint);
  CHECK((again.status == 0 ||
         (!trial.Repeats() && (again.status == 2 || again.status == 3 || again.status == 5))));
  if (again.status == 0) CHECK(trial.OutputsAreNew(states));
}

// The program goes on after the failure: it says so, or nothing is lost by it.
void CheckFailed(Trial& trial, const FaultRun& run, const States& states) {
  CHECK(run.status < 100);
  if (run.status != 0)
    CHECK(IsOneSentence(Beyond(run.complaint, states.said)));
  else
    CHECK(trial.OutputsAreNew(states));
  CHECK(trial.OutputsAreOldOrNew(states));
  CHECK(trial.StateFits(states, run.status));
  if (trial.Repeats()) CheckAgain(trial, states);
}

// The program ended in the middle, or all was acknowledged before that; it is started again.
void CheckEnded(Trial& trial, const FaultRun& run, const States& states) {
  CHECK((run.status == 137 || run.status == 0));
  CHECK(trial.OutputsAreOldOrNew(states));
  if (run.status == 0) CHECK(trial.OutputsAreNew(states));
  CHECK(trial.StateFits(states, run.status));  // opens the case
  CheckAgain(trial, states);
  static_cast<void>(trial.State());
  CHECK(trial.Left() == std::vector<std::string>{});
}

// All points, or every so many up to the last of `calls`; returns how many.
int TryPoints(const std::string& base, const WritingCall& call, const std::string& how, const States& states,
              int calls) {
  const int step = call.most_points == 0 ? 1 : std::max(1, calls / call.most_points);
  int tried = 0;
  for (int at = (calls - 1) % step + 1; at < kMostPoints; at += step) {
    Trial trial(base, call);
    const FaultRun run = trial.Run(how, at);
    INFO(call.name << ": " << how << " at call " << at << ", status " << run.status << ": " << run.complaint);
    if (!run.reached) {
      CHECK(run.status == 0);
      return tried;
    }
    ++tried;
    if (how == "short") CHECK(run.status == 0);  // no failure: the rest is written too
    if (how == "end" || how == "power" || how == "names")
      CheckEnded(trial, run, states);
    else
      CheckFailed(trial, run, states);
  }
  FAIL_CHECK(call.name << ": " << how << " was still reached at call " << kMostPoints - 1
                       << "; what comes after was not tried: raise kMostPoints or write less.");
  return tried;
}

std::chrono::microseconds Length(Trial& clean) {
  const auto start = std::chrono::steady_clock::now();
  REQUIRE(clean.Run("full", 0).status == 0);
  return std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - start);
}

}  // namespace

// Every call by which each kind of writing changes the disk goes wrong in turn. Runs with libbroken_disk.so
// loaded (LD_PRELOAD); AFTERSCOPE_FAULT_CALLS: only the calls whose name contains this;
// AFTERSCOPE_FAULT_WAYS: only the ways that it names ("short part").
TEST_CASE("What is written is old or new whatever call goes wrong", "[.faults]") {
  const char* wanted = std::getenv("AFTERSCOPE_FAULT_CALLS");
  const char* ways = std::getenv("AFTERSCOPE_FAULT_WAYS");
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
    states.said = run.complaint;
    states.texts = clean.Texts();
    CHECK(clean.OutputsAreNew(states));
    states.after = clean.State();
    CHECK((call.promised || states.before != states.after));
    std::string counts = fmt::format(" of {} calls", run.calls);
    for (const char* how : {"short", "part", "full", "dead", "end", "power", "names"}) {
      if (ways != nullptr && std::string_view(ways).find(how) == std::string_view::npos) continue;
      const int points = TryPoints(base.path(), call, how, states, run.calls);
      counts += fmt::format(" {} {}", how, points);
      total += points;
    }
    WARN(call.name << ":" << counts);
  }
  WARN("fault points: " << total);
  CHECK(total > 0);  // else no call has that name
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
    auto length = Length(clean);
    states.texts = clean.Texts();
    states.after = clean.State();
    int killed = 0;  // once in each fiftieth of its length
    int late = 0;    // it had ended: its length is less, as a start and an end belong to what is measured
    while (killed < kKills && late < 2 * kKills) {
      const auto instant = length * (killed * 1000 + static_cast<int>(random() % 1000) + 1) / (kKills * 1000);
      Trial trial(base.path(), call);
      const auto start = std::chrono::steady_clock::now();
      const FaultRun run = trial.RunKilled(instant);
      const auto took = std::chrono::steady_clock::now() - start;
      INFO(call.name << ": killed after " << instant.count() << " of " << length.count()
                     << " microseconds, status " << run.status << ": " << run.complaint);
      CheckEnded(trial, run, states);
      if (run.status == 137) {
        ++killed;
      } else {
        ++late;
        length = std::min(length, std::chrono::duration_cast<std::chrono::microseconds>(took)) * 49 / 50;
      }
    }
    CHECK(killed == kKills);
    WARN(call.name << ": " << killed << " kills over " << length.count() / 1000 << " ms, " << late
                   << " more came after its end");
  }
}

}  // namespace afterscope

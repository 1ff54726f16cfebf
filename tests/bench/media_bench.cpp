// SPDX-License-Identifier: Apache-2.0
// Times of recordings' access, printed one a line; the script beside this one compares them with other
// programs. Usage: media_bench WHAT FILE      (sweep, table, first, play, jumps)
#include "annotate/media/recording.hpp"
#include "tests/support/temporary_folder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <thread>
#include <unistd.h>
#include <vector>

using namespace afterscope;

namespace {

using Clock = std::chrono::steady_clock;

double Since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

std::unique_ptr<Recording> OpenOrDie(const std::string& file, const Recording::Options& options) {
  auto opened = Recording::Open(file, options);
  if (opened.ok()) return std::move(*opened);
  fmt::print(stderr, "{}\n", opened.error().message);
  std::exit(3);
}

void Percentiles(const char* what, std::vector<double> seconds) {
  std::sort(seconds.begin(), seconds.end());
  const auto at = [&](double share) {
    return 1000 * seconds[static_cast<std::size_t>(share * static_cast<double>(seconds.size() - 1))];
  };
  fmt::print("{}: median {:.1f} ms, 95 % {:.1f} ms, most {:.1f} ms of {}\n", what, at(0.5), at(0.95), at(1),
             seconds.size());
}

void Sweep(const std::string& file) {
  const auto start = Clock::now();
  Recording::Options options;
  options.build_table = false;
  const auto recording = OpenOrDie(file, options);
  std::int64_t frames = 0;
  const Status done = recording->Sweep({INT64_MIN / 4}, [&](const Picture&) { return ++frames > 0; }, {});
  fmt::print("sweep: {} frames in {:.2f} s{}\n", frames, Since(start),
             done.ok() ? "" : ": " + done.error().message);
}

void Table(const std::string& file, const std::string& cache) {
  const auto start = Clock::now();
  Recording::Options options;
  options.cache_folder = cache;
  const auto recording = OpenOrDie(file, options);
  const auto table = recording->WaitForTable(TableState::kFromPackets, {}, {});
  fmt::print("table: {} frames in {:.2f} s\n", table.ok() ? (*table)->size() : -1, Since(start));
}

// From a cold start to an exact picture in the middle.
void First(const std::string& file) {
  const auto start = Clock::now();
  Recording::Options options;
  options.build_table = false;
  const auto recording = OpenOrDie(file, options);
  const double opened = Since(start);
  const auto table = recording->table();
  const RecordingShape shape = recording->Shape();
  const auto first = recording->Frame(shape.first, {});
  const double shown = Since(start);
  const auto middle_start = Clock::now();
  const auto middle = recording->Frame(Pts{(shape.first.ticks + shape.end.ticks) / 2}, {});
  fmt::print(
      "first: opened {:.3f} s, first picture {:.3f} s, {} frames known; then one in the middle {:.3f} s{}\n",
      opened, shown, table->size(), Since(middle_start), first.ok() && middle.ok() ? "" : " FAILED");
}

std::int64_t PssKib(const std::string& pid) {
  std::ifstream rollup("/proc/" + pid + "/smaps_rollup");
  for (std::string word; rollup >> word;)
    if (word == "Pss:") {
      std::int64_t kib = 0;
      rollup >> kib;
      return kib;
    }
  return 0;
}

// This process and those it started.
std::int64_t FamilyPssKib() {
  std::int64_t total = PssKib("self");
  std::ifstream children("/proc/self/task/" + std::to_string(static_cast<int>(getpid())) + "/children");
  for (std::string pid; children >> pid;) total += PssKib(pid);
  return total;
}

// Plays half a minute in real time, the table being built beside it.
void Play(const std::string& file, const std::string& cache) {
  Recording::Options options;
  options.cache_folder = cache;
  options.cache_bytes = 512LL << 20;
  const auto recording = OpenOrDie(file, options);
  const Rational base = recording->info().time_base;
  const Pts first = recording->Shape().first;
  std::int64_t most = 0;
  int late = 0;
  int frames = 0;
  const auto start = Clock::now();
  for (double now = 0; now < 30; now = Since(start), ++frames) {
    const Pts pts = first + TickSpan{static_cast<std::int64_t>(now / base.value())};
    recording->SetPlayhead(pts, 1);
    const auto picture = recording->Frame(pts, {});
    if (!picture.ok() || Since(start) - now > 0.034) ++late;
    if (frames % 15 == 0) most = std::max(most, FamilyPssKib());
    std::this_thread::sleep_for(std::chrono::milliseconds(15));
  }
  fmt::print("play: {} looks, {} late, most memory of all processes {} MiB with a cache of 512 MiB\n", frames,
             late, most / 1024);
}

void Jumps(const std::string& file, const std::string& cache) {
  Recording::Options options;
  options.cache_folder = cache;
  const auto recording = OpenOrDie(file, options);
  const auto table = recording->WaitForTable(TableState::kVerified, {}, {});
  if (!table.ok()) return;
  std::mt19937 random(1);
  std::uniform_int_distribution<std::int64_t> any(0, (*table)->size() - 1);
  std::vector<double> jumps;
  for (int i = 0; i < 60; ++i) {
    const auto start = Clock::now();
    if (recording->Frame(FrameIndex{any(random)}, {}).ok()) jumps.push_back(Since(start));
  }
  Percentiles("random jumps", jumps);
  std::vector<double> back;
  std::int64_t at = std::min<std::int64_t>((*table)->size() - 1, 900);
  for (int i = 0; i < 300 && at > 0; ++i, --at) {
    recording->SetPlayhead((**table)[{at}].pts, 0);
    const auto start = Clock::now();
    if (recording->Frame(FrameIndex{at}, {}).ok()) back.push_back(Since(start));
    std::this_thread::sleep_for(std::chrono::milliseconds(33));
  }
  Percentiles("steps back", back);
}

}  // namespace

int main(int argc, char** argv) {
  if (const auto helper_status = RunMediaHelperIfAsked(argc, argv)) return *helper_status;
  if (argc != 3) return 2;
  const TemporaryFolder cache;
  const std::string what = argv[1];
  if (what == "sweep") Sweep(argv[2]);
  if (what == "table") Table(argv[2], cache.path());
  if (what == "first") First(argv[2]);
  if (what == "play") Play(argv[2], cache.path());
  if (what == "jumps") Jumps(argv[2], cache.path());
  return 0;
}
